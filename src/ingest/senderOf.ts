import type { SenderEntry } from '../catalog/chain.ts';

/** A path pattern as a regular expression: ** any depth, * within a folder; each * is captured. */
const patternOf = (glob: string): RegExp => {
  const parts = glob.split(/(\*\*\/|\*\*|\*)/).map((part) => {
    if (part === '**/') return '(?:.*/)?';
    if (part === '**') return '.*';
    return part === '*' ? '([^/]*)' : part.replace(/[.+?^${}()|[\]\\]/g, '\\$&');
  });
  return new RegExp(`^${parts.join('')}$`);
};

const plainSender: SenderEntry = {
  name: '',
  files: '**/*.csv',
  layout: 'long',
  columns: {},
  wide: {},
  defaults: {},
  footer: [],
  codes: { grade: {}, item: {}, output: {} },
};

/** The path of the file whose refused rows a mended file brings back; the path itself for any other file. */
export const mendedPath = (path: string): string => path.replace(/(\.rejects\.csv)+$/i, '');

/**
 * The first sender entry whose `files` fits the path below inbox/, with {1}, {2} in its defaults filled from the stars.
 * A mended rejects file has the sender of the file it came from.
 */
export const senderOf = (path: string, senders: readonly SenderEntry[]): SenderEntry => {
  for (const sender of senders) {
    const match = patternOf(sender.files).exec(mendedPath(path));
    if (match === null) continue;
    const filled = Object.entries(sender.defaults).map(([key, text]) => [
      key,
      text.replace(/\{(\d)\}/g, (_, n) => match[Number(n)] ?? ''),
    ]);
    return { ...sender, defaults: Object.fromEntries(filled) };
  }
  return plainSender;
};
