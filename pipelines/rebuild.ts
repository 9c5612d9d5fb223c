import { type Night, type NightResult, nightly } from './nightly.ts';

/**
 * A night on a lake read again from the inbox: after a part was damaged, or when the lake is not trusted. The old lake is
 * replaced whole at the end; days first seen are kept, so that versions win as before.
 */
export const rebuild = (
  night: Omit<Night, 'rebuild'>,
  { dropMissing }: { dropMissing: boolean },
): Promise<NightResult> => nightly({ ...night, rebuild: { dropMissing } });
