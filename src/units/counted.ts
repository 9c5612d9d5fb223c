/** A number of things in words: `1 test`, `0 tests`, `1,200 tests`; `written` is how the number is written. */
export const counted = (count: number, one: string, written: (count: number) => string = String): string =>
  `${written(count)} ${one}${count === 1 ? '' : 's'}`;

/** A number of tests in words. */
export const countedTests = (tests: number, written?: (tests: number) => string): string =>
  counted(tests, 'test', written);
