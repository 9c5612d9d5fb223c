import type { PagePlan } from '../pagePlan.ts';
import { buyerClaims } from './buyerClaims.tsx';
import { buyerHome } from './buyerHome.tsx';
import { buyerQuotes } from './buyerQuotes.tsx';
import { buyerRanges } from './buyerRanges.tsx';
import { buyerView } from './buyerView.ts';
import { buyerWays } from './buyerWays.tsx';
import { changePage } from './changePage.tsx';
import { formats } from './formats.ts';
import type { Bundle } from './frame.tsx';
import { methodPage } from './methodPage.tsx';
import { names } from './names.ts';
import { negotiationSheet } from './negotiationSheet.tsx';
import type { PeopleFree } from './peopleFree.ts';

/** The buyer's bundle: claims, cost by range and grade, suppliers, curves, quotes. No person anywhere. */
export const buyerPages = (input: PeopleFree): PagePlan[] => {
  const view = buyerView(input);
  const bundle: Bundle = {
    chainName: input.chain.name,
    reader: 'the buyer',
    nav: [
      { text: 'Today', href: 'index.html' },
      { text: 'Quotes', href: 'quotes.html' },
      { text: 'Ranges', href: 'ranges.html' },
      { text: 'Cutting', href: 'ways.html' },
      { text: 'Changes', href: 'change.html' },
      { text: 'Claims', href: 'claims.html' },
      { text: 'Sheet', href: 'sheet.html' },
      { text: 'Method', href: 'method.html' },
    ],
    finds: 'supplier or item',
    banner: '',
  };
  const write = formats(input.chain);
  const { item: called } = names(input.chain, input.stores);
  const { merchandise } = input;
  const { basis } = view;
  const plan = (path: string, render: PagePlan['render']): PagePlan => ({
    path,
    data: { view, bundle, path, merchandise },
    render,
  });
  return [
    plan('index.html', () => buyerHome(view, bundle, write)),
    plan('quotes.html', () => buyerQuotes(view.buying, bundle, { write, basis })),
    plan('ways.html', () =>
      buyerWays({ merchandise, called, write, basis, targetMargin: input.chain.target_margin }, bundle),
    ),
    plan('change.html', () =>
      changePage({ changes: merchandise.changes, trend: merchandise.trend, called, write, basis }, bundle),
    ),
    plan('ranges.html', () => buyerRanges(view, bundle, write)),
    plan('claims.html', () => buyerClaims(view, bundle, write)),
    plan('sheet.html', () => negotiationSheet(view, bundle, write)),
    plan('method.html', () => methodPage(bundle, view.basis)),
  ];
};
