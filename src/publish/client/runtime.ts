import { type Runtime, View } from 'vega';
import { expressionInterpreter } from 'vega-interpreter';
import type {} from './nightFacts.ts';

const narrowBelow = 640;

/** Draws every chart of the page from the bundle's charts and the rows beside it; no eval, no style text. */
const drawAll = async (): Promise<void> => {
  for (const plot of document.querySelectorAll<HTMLElement>('.plot[data-chart]')) await draw(plot);
  performance.mark('drawn');
  document.documentElement.dataset['drawn'] = 'yes';
};

const draw = async (plot: HTMLElement): Promise<void> => {
  const chart = window.deckleCharts?.[plot.dataset['chart'] ?? ''];
  const rows = plot.querySelector('script')?.textContent;
  if (chart === undefined || rows == null) return;
  const size = plot.clientWidth < narrowBelow ? 'narrow' : 'wide';
  const view = new View(chart[size] as Runtime, { expr: expressionInterpreter, renderer: 'none' });
  for (const [name, values] of Object.entries(JSON.parse(rows) as Record<string, object[]>))
    view.data(name, values);
  const text = await view.toSVG();
  view.finalize();
  const svg = new DOMParser().parseFromString(text, 'image/svg+xml').documentElement;
  svg.setAttribute('aria-hidden', 'true');
  svg.setAttribute('focusable', 'false');
  plot.querySelector('svg')?.remove();
  plot.append(document.adoptNode(svg));
};

void drawAll();
