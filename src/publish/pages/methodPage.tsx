import type { VNode } from 'preact';
import { Section } from './actions.tsx';
import { type Basis, type Bundle, page } from './frame.tsx';
import { cautions, charts, formulas, glossary, type Term } from './methodTexts.ts';

const Terms = ({ terms }: { terms: readonly Term[] }): VNode => (
  <dl class="terms">
    {terms.map(({ term, means }) => [<dt key={term}>{term}</dt>, <dd key={`${term}.`}>{means}</dd>])}
  </dl>
);

/** How every number is made, from what source, what the words mean, and what care asks for. */
export const methodPage = (bundle: Bundle, basis: Basis): string =>
  page(
    bundle,
    {
      title: 'Method',
      file: 'method.html',
      lead: 'Each test is compared with what the same piece should have yielded; only what chance does not explain is told.',
      basis,
    },
    <>
      <Section title="How the numbers are made">
        <Terms terms={formulas} />
      </Section>
      <Section title="How to read the charts">
        <Terms terms={charts} />
      </Section>
      <Section title="Words">
        <Terms terms={glossary} />
      </Section>
      <Section title="With care" id="cautions">
        <Terms terms={cautions} />
      </Section>
    </>,
  );
