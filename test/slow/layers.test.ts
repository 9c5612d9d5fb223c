import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';

/** One breach a rule: the file that commits it. */
const breaches: Record<string, [path: string, text: string]> = {
  'measure-stands-alone': ['src/measure/a.ts', "import { b } from '../screen/b.ts';\nexport const a = b;\n"],
  'measure-looks-back-only': [
    'src/measure/c.ts',
    "import type { B } from '../model/b.ts';\nexport const c = (b: B): B => b;\n",
  ],
  'leaf-is-leaf': ['src/units/a.ts', "import { b } from '../screen/b.ts';\nexport const a = b;\n"],
  'engines-know-no-trade': ['src/model/mixed/a.ts', "import { m } from '../b.ts';\nexport const a = m;\n"],
  'engines-need-no-trade-library': [
    'src/model/mixed/c.ts',
    "import { table } from 'arquero';\nexport const c = table;\n",
  ],
  'io-at-the-edges': ['src/measure/d.ts', "import { join } from 'node:path';\nexport const d = join;\n"],
  'raw-disk-in-system-only': [
    'src/lake/readA.ts',
    "import { rmSync } from 'node:fs';\nexport const a = rmSync;\n",
  ],
  'front-doors-only': ['pipelines/a.ts', "import { b } from '../src/screen/b.ts';\nexport const a = b;\n"],
  'cli-to-pipelines-only': ['src/cli/a.ts', "import { b } from '../screen/b.ts';\nexport const a = b;\n"],
  'vega-in-publish-only': ['src/measure/e.ts', "import { View } from 'vega';\nexport const e = View;\n"],
  'no-dev-dependency-in-src': ['src/units/b.ts', "import fc from 'fast-check';\nexport const b = fc;\n"],
  'no-rings': ['src/units/c.ts', "import { d } from './d.ts';\nexport const c = (): unknown => d;\n"],
  'not-to-test': ['src/units/e.ts', "import { t } from '../../test/t.ts';\nexport const e = t;\n"],
};
const others: Record<string, string> = {
  'src/screen/b.ts': 'export const b = 1;\n',
  'src/model/b.ts': 'export type B = number;\nexport const m = 1;\n',
  'src/units/d.ts': "import { c } from './c.ts';\nexport const d = (): unknown => c;\n",
  'test/t.ts': 'export const t = 1;\n',
};

describe('the layer rules', () => {
  it('each catch the breach they are there for', () => {
    const folder = mkdtempSync(join(tmpdir(), 'layers-'));
    const put = (path: string, text: string): void => {
      mkdirSync(dirname(join(folder, path)), { recursive: true });
      writeFileSync(join(folder, path), text);
    };
    for (const [path, text] of [...Object.values(breaches), ...Object.entries(others)]) put(path, text);
    for (const path of ['package.json', 'tsconfig.json', '.config/layers.cjs'])
      cpSync(path, join(folder, path), { recursive: true });
    symlinkSync(resolve('node_modules'), join(folder, 'node_modules'));
    const { stdout, stderr } = spawnSync(
      process.execPath,
      [
        resolve('node_modules/dependency-cruiser/bin/dependency-cruise.mjs'),
        'src',
        'pipelines',
        '--config',
        '.config/layers.cjs',
        '--output-type',
        'json',
      ],
      { cwd: folder, encoding: 'utf8', maxBuffer: 1e8 },
    );
    expect(stderr).toBe('');
    const { violations } = JSON.parse(stdout).summary as {
      violations: { from: string; rule: { name: string } }[];
    };
    const caught = new Set(violations.map(({ from, rule }) => `${rule.name} ${from}`));
    for (const [rule, [path]] of Object.entries(breaches)) expect([...caught]).toContain(`${rule} ${path}`);
  });
});
