import type { ComponentChildren, VNode } from 'preact';
import { midSentence } from './midSentence.ts';

/** One thing to do: what, why with its numbers, the step, and where to read on. */
export type Action = {
  /** An instruction, e.g. `Send the trainer to Mill Street`. */
  what: string;
  why: string;
  /** The first thing to do about it; '' when `what` says it all. */
  next: string;
  /** What it is worth, already written, e.g. `$67`; '' when money is not the point. */
  worth: string;
  /** Of what, and the interval, e.g. `a week, $50 to $85`; without an amount why there is none, e.g. `not priced`. */
  worthNote: string;
  links: readonly Link[];
};
export type Link = { text: string; href: string };
/** A figure that stands alone under the lead: a few letters, what they mean, and where to read on ('' = nowhere). */
export type Fact = { value: string; means: string; href: string };

export const Links = ({ links }: { links: readonly Link[] }): VNode | null =>
  links.length === 0 ? null : (
    <p class="links">
      {links.map((link) => (
        <a key={link.href} href={link.href}>
          {link.text}
        </a>
      ))}
    </p>
  );

const ActionItem = ({ action }: { action: Action }): VNode => (
  <li>
    <div class="what">
      <h3>
        <Unbroken text={action.what} />
      </h3>
      <p>
        <Unbroken text={action.why} />
      </p>
      {action.next === '' ? null : (
        <p>
          <b>Next step: </b>
          {midSentence(action.next)}
        </p>
      )}
      <Links links={action.links} />
    </div>
    {action.worth === '' && action.worthNote === '' ? null : (
      <p class="worth">
        {action.worth === '' ? null : <strong>{action.worth}</strong>}
        <span>{action.worthNote}</span>
      </p>
    )}
  </li>
);

/** A text in which no line ends within a range such as `11-13` or `15-up`. */
export const Unbroken = ({ text }: { text: string }): VNode => (
  <>{text.split(/(\d+-\w+)/).map((part, i) => (i % 2 === 0 ? part : <span class="unbroken">{part}</span>))}</>
);

/** What to do next, most worth first. */
export const Actions = ({
  title,
  note,
  actions,
  none,
}: {
  title: string;
  note?: string;
  actions: readonly Action[];
  none: string;
}): VNode => (
  <Section title={title} {...(note === undefined ? {} : { note })}>
    {actions.length === 0 ? (
      <p>{none}</p>
    ) : (
      <ol class="actions">
        {actions.map((action) => (
          <ActionItem key={action.what} action={action} />
        ))}
      </ol>
    )}
  </Section>
);

/** The few figures that stand under the lead. */
export const Facts = ({ facts }: { facts: readonly Fact[] }): VNode => (
  <dl class="facts">
    {facts.map(({ value, means, href }) => (
      <div key={means}>
        <dt>{means}</dt>
        <dd>{href === '' ? value : <a href={href}>{value}</a>}</dd>
      </div>
    ))}
  </dl>
);

/** A part of a page under a heading that can be linked to; the heading and its note stand beside the part where there is room. */
export const Section = ({
  title,
  note,
  id,
  children,
}: {
  title: string;
  note?: string;
  id?: string;
  children: ComponentChildren;
}): VNode => (
  <section id={id ?? title.toLowerCase().replaceAll(/[^a-z0-9]+/g, '-')}>
    <div class="rail">
      <h2>{title}</h2>
      {note === undefined || note === '' ? null : <p class="note">{note}</p>}
    </div>
    <div class="body">{children}</div>
  </section>
);
