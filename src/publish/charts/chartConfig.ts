/** Colors that pass 3:1 on white and on the dark page (Okabe & Ito 2002, blue, vermillion, purple, green). */
export const colors = { main: '#0072B2', warn: '#D55E00', other: '#A0527A', calm: '#6b7280' };

/** The one look of all charts. */
export const chartConfig = {
  background: 'transparent',
  font: 'system-ui, sans-serif',
  axis: {
    labelFontSize: 12,
    titleFontSize: 12,
    titleFontWeight: 'normal' as const,
    labelColor: '#555b66',
    titleColor: '#555b66',
    gridColor: '#8884',
    domainColor: '#8888',
    tickColor: '#8888',
    labelLimit: 220,
  },
  view: { stroke: null },
};
