import { describe, expect, it } from 'vitest';
import { cutterLead } from '../../../src/publish/pages/cutterPage.tsx';

const progress = (needed: number) => [{ item: 'leg', tests: 56, needed, reliability: 0.5 }];
const nothing = { habits: [], strengths: [], item: 'leg', room: [] };

describe('the first sentence of a cutter’s page', () => {
  it('asks for tests only where some are missing', () => {
    expect(cutterLead({ ...nothing, progress: progress(4) })).toMatch(/^Too few tests .*test leg next\.$/);
    expect(cutterLead({ ...nothing, progress: progress(0) })).toMatch(/^Nothing stands out .* beyond chance/);
    expect(cutterLead({ ...nothing, progress: progress(Number.NaN) })).toMatch(/^Nothing stands out/);
    expect(cutterLead({ ...nothing, progress: [] })).toMatch(/^Too few tests/);
  });
  it('praises where there is something to praise', () => {
    expect(cutterLead({ ...nothing, strengths: ['More main cut.'], progress: progress(4) })).toMatch(/keep/);
  });
  it('sends nobody on as before in whose room something is amiss', () => {
    const inRoom = { ...nothing, strengths: ['More main cut.'], room: ['Weight is missing.'] };
    expect(cutterLead({ ...inRoom, progress: progress(4) })).toMatch(/with the whole room/);
  });
});
