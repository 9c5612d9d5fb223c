import type { PagePlan } from '../pagePlan.ts';
import { buyerClaims } from './buyerClaims.tsx';
import { buyerHome } from './buyerHome.tsx';
import { buyerRanges } from './buyerRanges.tsx';
import { buyerView } from './buyerView.ts';
import { formats } from './formats.ts';
import type { Bundle } from './frame.tsx';
import { methodPage } from './methodPage.tsx';
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
      { text: 'Ranges', href: 'ranges.html' },
      { text: 'Claims', href: 'claims.html' },
      { text: 'Negotiation sheet', href: 'sheet.html' },
      { text: 'Method', href: 'method.html' },
    ],
    finds: 'supplier or item',
    banner: '',
  };
  const write = formats(input.chain);
  const plan = (path: string, render: PagePlan['render']): PagePlan => ({
    path,
    data: { view, bundle, path },
    render,
  });
  return [
    plan('index.html', () => buyerHome(view, bundle, write)),
    plan('ranges.html', () => buyerRanges(view, bundle, write)),
    plan('claims.html', () => buyerClaims(view, bundle, write)),
    plan('sheet.html', () => negotiationSheet(view, bundle, write)),
    plan('method.html', () => methodPage(bundle, view.basis)),
  ];
};
