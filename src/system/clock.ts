/** Today in a time zone as an ISO date; the only use of the clock for a figure, and only when --as-of is not given. */
export const todayIn = (timezone: string): string =>
  new Intl.DateTimeFormat('en-CA', {
    timeZone: timezone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
  }).format(new Date());

/** Date and time now, UTC, for the run manifest and log only. */
export const nowIso = (): string => new Date().toISOString();

/** Milliseconds since 1970 now, for durations in the run manifest and log only. */
export const nowMs = (): number => Date.now();
