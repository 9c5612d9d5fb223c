import type { ComponentChildren, VNode } from 'preact';

/** One thing to do: what, why with its numbers, and where to read on. */
export type Action = {
  /** An instruction, e.g. `Send the trainer to Uplands 10`. */
  what: string;
  why: string;
  /** What it is worth, already written, e.g. `$67 a week`; '' when money is not the point. */
  worth: string;
  worthNote: string;
  links: readonly { text: string; href: string }[];
};

const ActionItem = ({ action }: { action: Action }): VNode => (
  <li>
    <div class="what">
      <strong>{action.what}</strong>
      <p>{action.why}</p>
      {action.links.length === 0 ? null : (
        <p class="links">
          {action.links.map((link) => (
            <a key={link.href} href={link.href}>
              {link.text}
            </a>
          ))}
        </p>
      )}
    </div>
    {action.worth === '' ? null : (
      <p class="worth">
        <strong>{action.worth}</strong>
        <span>{action.worthNote}</span>
      </p>
    )}
  </li>
);

/** What to do next, most worth first. */
export const Actions = ({
  title,
  actions,
  none,
}: {
  title: string;
  actions: readonly Action[];
  none: string;
}): VNode => (
  <Section title={title}>
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

/** A part of a page under a heading that can be linked to. */
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
    <h2>{title}</h2>
    {note === undefined ? null : <p class="note">{note}</p>}
    {children}
  </section>
);
