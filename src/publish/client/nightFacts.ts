/** What the bundle's night.js tells every page; written at build. */
export type NightFacts = {
  dataTo: string;
  reported: string;
  staleAfterDays: number;
  /** What the find box offers: text and the page or place it leads to. */
  finds: readonly (readonly [text: string, href: string])[];
};

declare global {
  interface Window {
    deckleNight?: NightFacts;
    /** Charts of the bundle by name, parsed at build. */
    deckleCharts?: Record<string, Record<'wide' | 'narrow', object>>;
  }
}
