import { type PortionReachRow, portionReach } from './portionReach.ts';
import { type PortionInput, type PortionRow, portionRows } from './portionRows.ts';

/** The merchandiser's half of the night: what portions really weigh and which a range allows. */
export type MerchandiseNight = { portions: PortionRow[]; reach: PortionReachRow[] };

/** Portions against their spec, and portions within reach of each range. */
export const merchandise = (input: PortionInput): MerchandiseNight => ({
  portions: portionRows(input),
  reach: portionReach(input),
});
