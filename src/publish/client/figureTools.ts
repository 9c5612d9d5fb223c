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
  figure.append(tools);
};

/** The drawing that is shown now, as a file of its own: on white, because its colors are those of the light page. */
const svgText = (figure: HTMLElement): string => {
  const shown = [...figure.querySelectorAll('svg')].find((svg) => svg.getClientRects().length > 0);
  const copy = (shown as SVGSVGElement).cloneNode(true) as SVGSVGElement;
  const ground = document.createElementNS('http://www.w3.org/2000/svg', 'rect');
  for (const [key, value] of [
    ['width', '100%'],
    ['height', '100%'],
    ['fill', '#ffffff'],
  ] as const)
    ground.setAttribute(key, value);
  copy.prepend(ground);
  return new XMLSerializer().serializeToString(copy);
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
