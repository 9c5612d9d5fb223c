import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parseDocument } from 'yaml';
import { readChain } from '../../src/catalog/readChain.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';

type Schema = { type?: string; default?: unknown; properties?: Record<string, Schema>; items?: Schema };

const schema = JSON.parse(readFileSync('schemas/chain.schema.json', 'utf8')) as Schema;
const text = readFileSync('src/catalog/newChain/chain.yaml', 'utf8');

/** Every key of the schema with its path in a file whose lists have one entry, and its default. */
const keysOf = (node: Schema, path: (string | number)[] = []): { path: (string | number)[]; own: Schema }[] =>
  Object.entries(node.properties ?? {}).flatMap(([key, own]) => [
    { path: [...path, key], own },
    ...keysOf(own, [...path, key]),
    ...(own.items === undefined ? [] : keysOf(own.items, [...path, key, 0])),
  ]);

describe('the chain file of `deckle new`', () => {
  it('is valid', () => {
    const chain = readChain('src/catalog/newChain', diskFileSystem);
    expect(chain.senders[0]?.name).toBe('kilogram sheets');
  });

  it('shows every key of the schema, and says its default as it is', () => {
    const document = parseDocument(text);
    const lines = text.split('\n');
    for (const { path, own } of keysOf(schema)) {
      const isListed = path.includes('withdraw') && path.length > 1;
      const isElsewhere = ['outputs.0.lean_point', 'methods.0.demand_per_week'].includes(path.join('.'));
      if (isListed) expect(text).toContain(`${path.at(-1)}:`);
      else if (isElsewhere) expect(text).toContain(`${path.at(-1)}: `);
      else expect(document.hasIn(path), path.join('.')).toBe(true);
      if (own.default === undefined || typeof own.default === 'object') continue;
      const key = String(path.at(-1));
      const said = lines.filter((line) => new RegExp(`^\\s*(- )?${key}: .*default `).test(line));
      const value = typeof own.default === 'string' && own.default === '' ? '""' : String(own.default);
      if (said.length > 0)
        expect(
          said.some((line) => line.includes(`default ${value}`)),
          path.join('.'),
        ).toBe(true);
    }
  });
});
