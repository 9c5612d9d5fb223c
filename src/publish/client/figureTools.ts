/** Buttons of a figure: its drawing as SVG or PNG, its table as CSV; all made in the browser from what is shown. */
export const figureTools = (figure: HTMLElement, csvOf: (table: HTMLTableElement) => string): void => {
  const table = figure.querySelector('table');
  if (table === null) return;
  const name = (figure.dataset['figure'] ?? 'figure').toLowerCase().replaceAll(/[^a-z0-9]+/g, '-');
  const tools = document.createElement('div');
  tools.className = 'tools';
  const add = (text: string, act: () => void): void => {
    const button = document.createElement('button');
    button.type = 'button';
    button.textContent = text;
    button.setAttribute('aria-label', `${text} of ${figure.dataset['figure']}`);
    button.addEventListener('click', act);
    tools.append(button);
  };
  if (figure.querySelector('.plot') !== null) {
    add('SVG', () => save(new Blob([svgText(figure)], { type: 'image/svg+xml' }), `${name}.svg`));
    add('PNG', () => savePng(svgText(figure), `${name}.png`));
  }
  add('CSV', () =>
    save(new Blob([`\ufeff${csvOf(table)}`], { type: 'text/csv;charset=utf-8' }), `${name}.csv`),
  );
  figure.querySelector('figcaption')?.prepend(tools);
};

/**
 * What is drawn now, as one file of its own: on white, because its colors are those of the light page. Small multiples stand
 * under each other, each below its title.
 */
const svgText = (figure: HTMLElement): string => {
  const shown = [...figure.querySelectorAll('svg')].filter((svg) => svg.getClientRects().length > 0);
  const whole = element('svg', {});
  const ground = element('rect', { width: '100%', height: '100%', fill: '#ffffff' });
  whole.append(ground);
  let [width, height] = [0, 0];
  for (const svg of shown) {
    const title = svg.closest('.panel')?.querySelector('h4')?.textContent ?? '';
    if (title !== '') {
      const text = element('text', { x: '4', y: String(height + titleRoom - 8), ...titleLook });
      text.textContent = title;
      whole.append(text);
      height += titleRoom;
    }
    const copy = svg.cloneNode(true) as SVGSVGElement;
    const [own, tall] = [Number(svg.getAttribute('width')), Number(svg.getAttribute('height'))];
    copy.setAttribute('y', String(height));
    whole.append(copy);
    width = Math.max(width, own);
    height += tall;
  }
  for (const [key, value] of Object.entries({ width, height, viewBox: `0 0 ${width} ${height}` }))
    whole.setAttribute(key, String(value));
  return new XMLSerializer().serializeToString(whole);
};

const titleRoom = 26;
const titleLook = { 'font-family': 'system-ui, sans-serif', 'font-size': '13', 'font-weight': '600' };

const element = (name: string, attributes: Record<string, string>): SVGElement => {
  const made = document.createElementNS('http://www.w3.org/2000/svg', name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
};

const save = (blob: Blob, name: string): void => {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
};

const scale = 2;

const savePng = (svg: string, name: string): void => {
  const image = new Image();
  image.onload = () => {
    const canvas = document.createElement('canvas');
    canvas.width = image.width * scale;
    canvas.height = image.height * scale;
    canvas.getContext('2d')?.drawImage(image, 0, 0, canvas.width, canvas.height);
    canvas.toBlob((blob) => {
      if (blob !== null) save(blob, name);
    });
  };
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`;
};
