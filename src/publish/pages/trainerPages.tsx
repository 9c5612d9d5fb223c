import type { PagePlan } from '../pagePlan.ts';
import type { SitesInput } from '../sitesInput.ts';
import { cutterPage } from './cutterPage.tsx';
import { cutterView } from './cutterView.ts';
import { type Find, findName } from './finds.ts';
import { formats } from './formats.ts';
import type { Bundle } from './frame.tsx';
import { groups } from './groups.ts';
import { intakePage } from './intakePage.tsx';
import { methodPage } from './methodPage.tsx';
import type { PeopleFree } from './peopleFree.ts';
import { peoplePage } from './peoplePage.tsx';
import { peopleView } from './peopleView.ts';
import { storePage } from './storePage.tsx';
import { storeView } from './storeView.ts';
import { type TrainerFacts, trainerFacts } from './trainerFacts.ts';
import { trainerHome } from './trainerHome.tsx';
import { trainerView } from './trainerView.ts';

/** The trainer's bundle: whom to visit first, one page a cutter, one a store, everybody. Cutters by code unless the chain says names. */
export const trainerPages = (
  input: SitesInput,
  about: Pick<PeopleFree, 'asOf' | 'reported' | 'intake'>,
): { plans: PagePlan[]; finds: Find[] } => {
  const facts = trainerFacts(input);
  const write = formats(input.chain);
  const bundle = bundleOf(input);
  const home = trainerView(facts, write, about);
  const people = peopleView(facts);
  const plans: PagePlan[] = [
    { path: 'index.html', data: { home, bundle }, render: () => trainerHome(home, bundle, write) },
    {
      path: 'people.html',
      data: { people, basis: home.basis, bundle },
      render: () => peoplePage(people, home.basis, { bundle, write }),
    },
    {
      path: 'intake.html',
      data: { intake: about.intake, bundle, basis: home.basis },
      render: () =>
        intakePage(about.intake, {
          ...{ bundle, basis: home.basis, write, storeFile: facts.storeFile },
          called: facts,
        }),
    },
    {
      path: 'method.html',
      data: { bundle, basis: home.basis },
      render: () => methodPage(bundle, home.basis),
    },
    ...cutterPlans(facts, { bundle, write }),
    ...storePlans(facts, { bundle, write }),
  ];
  return { plans, finds: findsOf(facts) };
};

const bundleOf = ({ chain }: SitesInput): Bundle => ({
  chainName: chain.name,
  reader: 'the trainer',
  nav: [
    { text: 'Visits', href: 'index.html' },
    { text: 'Cutters', href: 'people.html' },
    { text: 'Intake', href: 'intake.html' },
    { text: 'Method', href: 'method.html' },
  ],
  finds: 'cutter, store or item',
  banner:
    'For coaching, not for pay or discipline. Every figure about a person is a question, not a verdict.',
});

type Writing = { bundle: Bundle; write: ReturnType<typeof formats> };

const cutterPlans = (facts: TrainerFacts, { bundle, write }: Writing): PagePlan[] => {
  const effects = new Map(
    groups(
      facts.input.modeled.effects.filter((row) => row.kind === 'cutter-item'),
      (row) => row.id,
    ),
  );
  const portions = new Map(groups(facts.input.found.merchandise.portions, (row) => row.cutter));
  return [...facts.testsByCutter.keys()].map((cutter) => {
    const view = {
      ...cutterView(cutter, effects.get(cutter) ?? [], { facts, write }),
      portions: (portions.get(cutter) ?? []).map((row) => ({ ...row, cutter: '' })),
    };
    const path = facts.cutterFile(cutter);
    const render = () => cutterPage({ ...view, called: facts.item }, path, { bundle, write });
    return { path, data: { view, bundle }, render };
  });
};

const storePlans = (facts: TrainerFacts, { bundle, write }: Writing): PagePlan[] => {
  const effects = new Map(
    groups(
      facts.input.modeled.effects.filter((row) => row.kind === 'store-item'),
      (row) => row.id,
    ),
  );
  return facts.input.found.stores.map(({ store }) => {
    const view = storeView(store, effects.get(store) ?? [], { facts, write });
    const path = facts.storeFile(store);
    return { path, data: { view, bundle }, render: () => storePage(view, path, { bundle, write }) };
  });
};

const findsOf = (facts: TrainerFacts): Find[] => [
  ...[...facts.testsByCutter.keys()].map(
    (cutter): Find => [`cutter ${facts.label(cutter)}`, facts.cutterFile(cutter)],
  ),
  ...facts.input.found.stores.map(
    (row): Find => [`store ${findName(facts.store(row.store), row.store)}`, facts.storeFile(row.store)],
  ),
  ...[...new Set(facts.input.modeled.effects.map((row) => row.item))]
    .filter((item) => item !== '')
    .sort()
    .map((item): Find => [`item ${facts.item(item)}`, 'people.html#by-item']),
];
