import { amountText, indifferenceSentence } from '../../money/indifferenceSentence.ts';
import { atLaborRate, costPerSaleable, type OfferWorth, offerAnswer } from '../../money/offerAnswer.ts';
import { hashState } from './hashState.ts';
import { setState } from './setState.ts';
import type { WhatIfData } from './whatIfData.ts';

/** Fills every `<div class="what-if">` from the figures in its script: choose two offers, type a price, read what the other is worth. */
export const whatIf = (): void => {
  for (const place of document.querySelectorAll<HTMLElement>('.what-if')) {
    const text = place.querySelector('script')?.textContent;
    if (text != null) addForm(place, JSON.parse(text) as WhatIfData);
  }
};

type Controls = Record<'item' | 'from' | 'to', HTMLSelectElement> &
  Record<'price' | 'rate', HTMLInputElement>;

const addForm = (place: HTMLElement, data: WhatIfData): void => {
  const wanted = hashState(location.hash);
  const controls: Controls = {
    item: selectOf(data.items.map((item) => item.name)),
    from: selectOf([]),
    to: selectOf([]),
    price: numberOf('0.01'),
    rate: numberOf('0.5'),
  };
  const answer = document.createElement('div');
  const offersOf = () => (data.items[controls.item.selectedIndex] as WhatIfData['items'][number]).offers;
  const show = (): void => {
    for (const [name, control] of Object.entries(controls)) setState(`what.${name}`, control.value);
    answer.replaceChildren(...answerOf(data, controls));
  };
  const quoted = (): void => {
    const perKg = offersOf()[controls.from.selectedIndex]?.deliveredPerKg ?? Number.NaN;
    const price = perKg * data.kgPerUnit;
    controls.price.value = Number.isFinite(price) ? String(Number(price.toFixed(4))) : '';
    controls.price.dataset['filled'] = controls.price.value;
    controls.price.dataset['perKg'] = String(perKg);
  };
  const offers = (): void => {
    const labels = offersOf().map(({ parts }) => parts.filter((part) => part !== '').join(', '));
    for (const select of [controls.from, controls.to]) fill(select, labels);
    const [best = 0, next = 0] = bestFirst(offersOf());
    controls.from.selectedIndex = best;
    controls.to.selectedIndex = next;
    quoted();
  };
  controls.rate.value = data.laborPerHour === null ? '' : String(data.laborPerHour);
  restore(controls.item, wanted.get('what.item'));
  offers();
  restore(controls.from, wanted.get('what.from'));
  restore(controls.to, wanted.get('what.to'));
  quoted();
  controls.price.value = wanted.get('what.price') ?? controls.price.value;
  controls.rate.value = wanted.get('what.rate') ?? controls.rate.value;
  controls.item.addEventListener('change', offers);
  controls.from.addEventListener('change', quoted);
  for (const control of Object.values(controls)) control.addEventListener('input', show);
  for (const control of Object.values(controls)) control.addEventListener('change', show);
  answer.setAttribute('role', 'status');
  const form = document.createElement('div');
  form.className = 'filters';
  form.append(...labeled(controls, data));
  place.append(form, answer);
  answer.replaceChildren(...answerOf(data, controls));
};

/** Places of offers by what they leave per weight billed, the most first; those without a quote last. */
const bestFirst = (offers: WhatIfData['items'][number]['offers']): number[] => {
  const left = offers.map(({ value, deliveredPerKg }) =>
    value === null || deliveredPerKg === null ? Number.NEGATIVE_INFINITY : value - deliveredPerKg,
  );
  return [...offers.keys()].sort((a, b) => (left[b] as number) - (left[a] as number) || a - b);
};

const labeled = (controls: Controls, data: WhatIfData): HTMLElement[] =>
  (
    [
      ['Item', controls.item],
      ['Quoted', controls.from],
      [`at, ${data.currency} per ${data.unit} delivered`, controls.price],
      ['What is this worth?', controls.to],
      [`Labor, ${data.currency} an hour`, controls.rate],
    ] as const
  ).map(([text, control]) => {
    const label = document.createElement('label');
    control.setAttribute('aria-label', text);
    label.append(text, control);
    return label;
  });

const selectOf = (texts: readonly string[]): HTMLSelectElement => {
  const select = document.createElement('select');
  fill(select, texts);
  return select;
};

const fill = (select: HTMLSelectElement, texts: readonly string[]): void => {
  select.replaceChildren(...texts.map((text) => new Option(text, text)));
};

const restore = (select: HTMLSelectElement, value: string | undefined): void => {
  if (value !== undefined && [...select.options].some((option) => option.value === value))
    select.value = value;
};

const numberOf = (step: string): HTMLInputElement => {
  const input = document.createElement('input');
  input.type = 'number';
  input.min = '0';
  input.step = step;
  input.inputMode = 'decimal';
  return input;
};

const worthOf = (offer: WhatIfData['items'][number]['offers'][number]): OfferWorth => {
  const known = (value: number | null): number => value ?? Number.NaN;
  return {
    value: known(offer.value),
    labor: known(offer.labor),
    laborSd: known(offer.laborSd),
    hours: known(offer.hours),
    usable: known(offer.usable),
    saleable: known(offer.saleable),
    credit: known(offer.credit),
  };
};

const note = (text: string): HTMLElement => {
  const place = document.createElement('p');
  place.className = 'note';
  place.textContent = text;
  return place;
};

/** How an offer is called beside another: its range, and whatever else differs. */
const apart = (own: readonly string[], beside: readonly string[]): string =>
  own.filter((part, k) => part !== '' && (k === 0 || part !== beside[k])).join(' ');

/** The price in force to its last digit while nobody typed over it: a quote in another unit has more digits than are shown. */
const pricePerKg = (input: HTMLInputElement, kgPerUnit: number): number =>
  input.value === input.dataset['filled'] ? Number(input.dataset['perKg']) : Number(input.value) / kgPerUnit;

/** The sentence and the figures behind it, or what has to be typed first. */
const answerOf = (data: WhatIfData, controls: Controls): HTMLElement[] => {
  const item = data.items[controls.item.selectedIndex];
  const [i, j] = [controls.from.selectedIndex, controls.to.selectedIndex];
  const [a, b] = [item?.offers[i], item?.offers[j]];
  const price = pricePerKg(controls.price, data.kgPerUnit);
  const rate = controls.rate.value === '' ? Number.NaN : Number(controls.rate.value);
  if (item === undefined || a === undefined || b === undefined) return [note('Nothing to compare.')];
  if (i === j) return [note('Choose two different offers.')];
  if (!(price > 0)) return [note('Type the price that is quoted.')];
  const at = (offer: typeof a): OfferWorth =>
    atLaborRate(worthOf(offer), rate, data.laborPerHour ?? Number.NaN);
  const [from, to] = [at(a), at(b)];
  const found = offerAnswer(price, [from, to], {
    varianceA: item.covariance[i]?.[i] as number,
    varianceB: item.covariance[j]?.[j] as number,
    covariance: item.covariance[i]?.[j] as number,
  });
  const sentence = document.createElement('p');
  sentence.className = 'lead';
  sentence.textContent = indifferenceSentence(
    { from: apart(a.parts, b.parts), to: apart(b.parts, a.parts) },
    price,
    found.sameMargin,
    data,
  );
  return [sentence, figures(data, { price, from, to, found })];
};

type Shown = { price: number; from: OfferWorth; to: OfferWorth; found: ReturnType<typeof offerAnswer> };

const figures = (data: WhatIfData, { price, from, to, found }: Shown): HTMLElement => {
  const number = new Intl.NumberFormat(data.language, { minimumFractionDigits: 1, maximumFractionDigits: 1 });
  const write = (perKg: number): string => amountText(perKg, data);
  const interval = ({ price: middle, low, high }: typeof found.sameMargin): string =>
    `${write(middle)} (${write(low)} to ${write(high)})`;
  const margin = from.value - price;
  const rows: [string, string, string][] = [
    ['same-margin', 'Worth at the same margin %', interval(found.sameMargin)],
    [
      'same-dollars',
      `Worth at the same money per ${data.unit} bought, ${found.isLaborKnown ? 'after labor' : 'before labor (minutes or rate not known)'}`,
      interval(found.sameDollars),
    ],
    ['landed', `Quoted, per ${data.unit} left after purge and short weight`, write(price / from.usable)],
    ['saleable', `Quoted, cost per saleable ${data.unit}`, write(costPerSaleable(price, from))],
    [
      'margin',
      `Quoted, margin per billed ${data.unit} before labor`,
      `${write(margin)} (${number.format((100 * margin) / from.value)} % of sales)`,
    ],
    [
      'value',
      `Expected sales value per billed ${data.unit}: quoted, other`,
      `${write(from.value)}, ${write(to.value)}`,
    ],
  ];
  const list = document.createElement('dl');
  list.className = 'terms';
  for (const [key, head, text] of rows) {
    const term = document.createElement('dt');
    term.textContent = head;
    const value = document.createElement('dd');
    value.dataset['answer'] = key;
    value.textContent = text;
    const pair = document.createElement('div');
    pair.append(term, value);
    list.append(pair);
  }
  return list;
};
