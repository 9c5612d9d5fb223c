import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { scriptJson } from '../../../src/publish/pages/scriptJson.ts';

describe('JSON inside a script element', () => {
  it('cannot end the element and means the same', () => {
    expect(scriptJson(['</script><!--'])).not.toMatch(/[<>&]/);
    fc.assert(
      fc.property(fc.string(), (text) => {
        expect(scriptJson([text])).not.toMatch(/[<>&\u2028\u2029]/);
        expect(JSON.parse(scriptJson([text]))).toEqual([text]);
      }),
    );
  });
});
