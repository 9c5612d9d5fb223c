/**
 * A page before it is written: where it goes, all it is made from as plain data, and how to write it. Pages whose data and
 * program have not changed since the last night are not written again.
 */
export type PagePlan = { path: string; data: unknown; render: () => string | Promise<string> };
