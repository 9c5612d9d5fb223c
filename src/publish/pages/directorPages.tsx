import type { PagePlan } from '../pagePlan.ts';
import { callSheet } from './callSheet.tsx';
import { changePage } from './changePage.tsx';
import { directorDecisions } from './directorDecisions.tsx';
import { directorHome } from './directorHome.tsx';
import { directorStores } from './directorStores.tsx';
import { directorView } from './directorView.ts';
import { formats } from './formats.ts';
import type { Bundle } from './frame.tsx';
import { intakePage } from './intakePage.tsx';
import { methodPage } from './methodPage.tsx';
import { names } from './names.ts';
import type { PeopleFree } from './peopleFree.ts';

/** The director's bundle: what it costs and where, what to decide, who reports. No person anywhere. */
export const directorPages = (input: PeopleFree): PagePlan[] => {
  const view = directorView(input);
  const bundle: Bundle = {
    chainName: input.chain.name,
    reader: 'the meat director',
    nav: [
      { text: 'This week', href: 'index.html' },
      { text: 'Decisions', href: 'decisions.html' },
      { text: 'Changes', href: 'change.html' },
      { text: 'Stores', href: 'stores.html' },
      { text: 'Intake', href: 'intake.html' },
      { text: 'Weekly call', href: 'call-sheet.html' },
      { text: 'Method', href: 'method.html' },
    ],
    finds: 'store, region or item',
    banner: '',
  };
  const write = formats(input.chain);
  const called = names(input.chain, input.stores);
  const { merchandise, intake } = input;
  const plan = (path: string, render: PagePlan['render']): PagePlan => ({
    path,
    data: { view, bundle, path, merchandise },
    render,
  });
  return [
    plan('index.html', () => directorHome(view, bundle, write)),
    plan('decisions.html', () =>
      directorDecisions(view, bundle, {
        write,
        called,
        portions: merchandise.portions,
        unsettled: merchandise.unsettled,
      }),
    ),
    plan('change.html', () =>
      changePage(
        {
          changes: merchandise.changes,
          trend: merchandise.trend,
          called: called.item,
          write,
          basis: view.basis,
        },
        bundle,
      ),
    ),
    plan('stores.html', () => directorStores(view, bundle, write)),
    {
      path: 'intake.html',
      data: { intake, bundle, basis: view.basis },
      render: () => intakePage(intake, { bundle, basis: view.basis, write, called }),
    },
    plan('call-sheet.html', () => callSheet(view, bundle, write)),
    plan('method.html', () => methodPage(bundle, view.basis)),
  ];
};
