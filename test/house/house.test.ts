import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { findingKinds } from '../../src/faults/findingKinds.ts';
import { exitCodes } from '../../src/faults/operatorError.ts';
import { rejectCodes } from '../../src/faults/rejectCodes.ts';
import { heldCauses, reviewCauses } from '../../src/faults/reviewCauses.ts';
import { textOf, trackedFiles } from './trackedFiles.ts';

const isCode = (path: string): boolean => /\.(tsx?|mjs|cjs)$/.test(path);
const tracked = trackedFiles();
const code = tracked.filter(isCode);
const core = code.filter((path) => /^(src|pipelines)\//.test(path));
/** Lines of files where a pattern stands, as path:line. */
const places = (paths: readonly string[], pattern: RegExp): string[] =>
  paths.flatMap((path) =>
    textOf(path)
      .split('\n')
      .flatMap((line, i) => (pattern.test(line) ? [`${path}:${i + 1}`] : [])),
  );

describe('the house', () => {
  it('has nothing at its top that is not in the map', () => {
    const top = [...new Set(tracked.map((path) => path.split('/')[0] as string))];
    expect(top.filter((name) => !name.startsWith('.'))).toEqual([
      'DEVELOPERS.md',
      'README.md',
      'package-lock.json',
      'package.json',
      'pipelines',
      'sample-data',
      'schemas',
      'src',
      'test',
      'tsconfig.json',
    ]);
    expect(core.filter((path) => path.split('/').length > 4)).toEqual([]);
  });

  it('has no file of 400 lines', () => {
    expect(code.filter((path) => textOf(path).split('\n').length > 400)).toEqual([]);
  });

  it('draws no random numbers in its core', () => {
    expect(places(core, /Math[.]random|randomBytes|getRandomValues/)).toEqual([]);
  });

  it('speaks no trade word in its engines', () => {
    const engines = core.filter((path) =>
      /^src\/model\/(mixed|robust|compositional|splines|linalg)\//.test(path),
    );
    expect(engines.length).toBeGreaterThan(20);
    expect(
      places(engines, /\b(cutters?|stores?|trim|purge|saleable|ribeye|suppliers?|carcass|butcher)\b/i),
    ).toEqual([]);
  });

  it('raises every reject code, and tells every finding and every cause of a held test', () => {
    const raised = core
      .filter((path) => !path.startsWith('src/faults/'))
      .map(textOf)
      .join('\n');
    const dynamic = new Set(
      ['item', 'grade', 'output', 'method', 'habit', 'store', 'region'].map((field) => `${field}-unknown`),
    );
    const names = [rejectCodes, findingKinds, reviewCauses, heldCauses].flatMap((catalog) =>
      Object.keys(catalog),
    );
    expect(names.filter((name) => !dynamic.has(name) && !raised.includes(`'${name}'`))).toEqual([]);
    expect(raised).toMatch(/`\$\{field\}-unknown`/);
  });

  it('has with every reference result the script that made it', () => {
    const files = tracked.filter((path) => path.startsWith('test/reference/'));
    const results = files.filter((path) => /^test\/reference\/[^/]+\.json$/.test(path));
    expect(results.length).toBeGreaterThan(4);
    const scripts = files
      .filter((path) => path.endsWith('.R'))
      .map(textOf)
      .join('\n');
    for (const path of results) expect(scripts).toContain(path.split('/').at(-1));
  });

  it('names no folder of a machine, no registry and no mail address', () => {
    const texts = tracked.filter((path) => /\.(tsx?|mjs|cjs|md|json|ya?ml|R|csv)$|^\.ci\/|npmrc$/.test(path));
    const own = texts.filter((path) => path !== 'test/house/house.test.ts');
    const machine =
      /(^|[\s'"`(=])\/(work|tmp|home|root|Users|mnt)\/|registry\.npmjs\.org|[\w.]+@[\w-]+\.(com|org|net|io)\b/;
    expect(places(own, machine)).toEqual([]);
  });

  it('has in package.json ten scripts at most and exact versions only', () => {
    const { scripts, dependencies, devDependencies } = JSON.parse(textOf('package.json'));
    expect(Object.keys(scripts).length).toBeLessThanOrEqual(10);
    for (const version of Object.values({ ...dependencies, ...devDependencies }))
      expect(version).toMatch(/^\d+\.\d+\.\d+(-[\w.]+)?$/);
  });

  it('has a line in DEVELOPERS.md for every dependency', () => {
    const { dependencies, devDependencies } = JSON.parse(textOf('package.json'));
    const told = textOf('DEVELOPERS.md');
    const isType = (name: string): boolean => name.startsWith('@types/');
    const names = Object.keys({ ...dependencies, ...devDependencies }).filter((name) => !isType(name));
    expect(names.filter((name) => !told.includes(name.replace(/^@biomejs\//, '')))).toEqual([]);
  });
});

describe('the README', () => {
  const readme = textOf('README.md');
  const words = (pattern: RegExp): string[] =>
    [...(pattern.exec(readme)?.[1] ?? '').matchAll(/[\w-]+/g)].map(([word]) => word);

  it('names the columns that a file must have, as the schema does', () => {
    const required = (table: string): string[] =>
      (
        JSON.parse(textOf(`schemas/${table}.schema.json`)).fields as {
          name: string;
          columnRequired?: boolean;
          constraints?: { required?: boolean };
        }[]
      )
        .filter((field) => field.constraints?.required || field.columnRequired)
        .map((field) => field.name);
    expect([...words(/Required: `([^`]*)`; `weighed`/), 'weighed'].sort()).toEqual(
      required('cutting-tests').sort(),
    );
    expect(words(/[*]{2}Portions[*]{2}: `([^`]*)`/)).toEqual(required('portions'));
  });

  it('names results that there are', () => {
    const written = tracked
      .filter((path) => path.startsWith('src/publish/results/'))
      .map(textOf)
      .join('\n');
    const named = [...(/The main ones: (.*)/.exec(readme)?.[1] ?? '').matchAll(/`([\w-]+)`/g)].map(
      ([, name]) => name,
    );
    expect(named.length).toBeGreaterThan(15);
    for (const name of named) expect(written, name).toContain(`name: '${name}'`);
  });

  it('starts the night by schedulers as the command line takes it', () => {
    const [timer = '', job = ''] = [...readme.matchAll(/```(?:ini|yaml)\n([\s\S]*?)```/g)].map(
      ([, text]) => text,
    );
    expect(/SuccessExitStatus=(.*)/.exec(timer)?.[1]).toBe(
      `${exitCodes.rowsRejected} ${exitCodes.staleOrUnfit}`,
    );
    const { spec } = parse(job).spec.jobTemplate.spec.template;
    const [{ args, volumeMounts }] = spec.containers;
    expect(/main\.js (.*)/.exec(timer)?.[1]?.split(' ')).toEqual(['run', '/srv/my-chain', '--quiet']);
    expect(args).toEqual(['run', volumeMounts[0].mountPath, '--quiet']);
    expect(volumeMounts[0].name).toBe(spec.volumes[0].name);
  });

  it('gives every exit code as it is', () => {
    const told = words(/Exit codes: (.*); 128/)
      .filter((word) => /^\d+$/.test(word))
      .map(Number);
    expect([...new Set(told)].sort()).toEqual(Object.values(exitCodes).sort());
  });
});
