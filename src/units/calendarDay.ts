/** A calendar day as whole days since 1970-01-01; NaN when missing. No clock, no time zone. */
const daysFromCivil = (year: number, month: number, day: number): number => {
  const y = month <= 2 ? year - 1 : year;
  const era = Math.floor(y / 400);
  const yoe = y - era * 400;
  const doy = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + day - 1;
  return era * 146097 + yoe * 365 + Math.floor(yoe / 4) - Math.floor(yoe / 100) + doy - 719468;
};

/** Year, month (1-12) and day of a calendar day. Source: H. Hinnant, civil_from_days (public algorithm, from memory). */
const civilFromDay = (calendarDay: number): { year: number; month: number; day: number } => {
  const z = calendarDay + 719468;
  const era = Math.floor(z / 146097);
  const doe = z - era * 146097;
  const yoe = Math.floor(
    (doe - Math.floor(doe / 1460) + Math.floor(doe / 36524) - Math.floor(doe / 146096)) / 365,
  );
  const doy = doe - (365 * yoe + Math.floor(yoe / 4) - Math.floor(yoe / 100));
  const mp = Math.floor((5 * doy + 2) / 153);
  const month = mp < 10 ? mp + 3 : mp - 9;
  return {
    year: yoe + era * 400 + (month <= 2 ? 1 : 0),
    month,
    day: doy - Math.floor((153 * mp + 2) / 5) + 1,
  };
};

/** Calendar day of year, month, day; NaN when there is no such day. */
export const dayFromCivil = (year: number, month: number, day: number): number => {
  const found = daysFromCivil(year, month, day);
  const back = civilFromDay(found);
  return back.year === year && back.month === month && back.day === day ? found : Number.NaN;
};

/** Calendar day of an ISO 8601 date `2026-11-23`; NaN when it is none. */
export const dayFromIso = (text: string): number => {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  return parts === null ? Number.NaN : dayFromCivil(Number(parts[1]), Number(parts[2]), Number(parts[3]));
};

/** ISO 8601 date of a calendar day; '' when missing. */
export const isoFromDay = (calendarDay: number): string => {
  if (Number.isNaN(calendarDay)) return '';
  const { year, month, day } = civilFromDay(calendarDay);
  return `${String(year).padStart(4, '0')}-${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}`;
};

/** Months since January of year 0, for grouping by calendar month; NaN when missing. */
export const monthOf = (calendarDay: number): number => {
  if (Number.isNaN(calendarDay)) return Number.NaN;
  const { year, month } = civilFromDay(calendarDay);
  return year * 12 + month - 1;
};

/** Mean years (365.2425 days) since 1970-01-01. */
export const yearsOf = (calendarDay: number): number => calendarDay / 365.2425;
