import Ajv, { type ErrorObject } from 'ajv';
import { parseDocument } from 'yaml';
import { exitCodes, OperatorError } from '../faults/operatorError.ts';
import type { FileSystem } from '../system/fileSystem.ts';
import { packageRoot } from '../system/packageRoot.ts';
import { nearestWord } from '../tables/nearestWord.ts';
import type { Chain } from './chain.ts';
import { chainFault } from './chainFault.ts';

/**
 * Reads and checks `chain.yaml` in the operator's folder against schemas/chain.schema.json and fills every default.
 * Missing numbers become NaN, missing texts ''. Throws OperatorError (66 no file, 78 not valid) naming the line.
 */
export const readChain = (chainFolder: string, fs: FileSystem): Chain => {
  const path = `${chainFolder}/chain.yaml`;
  if (!fs.exists(path)) {
    throw new OperatorError(
      `no chain.yaml in ${chainFolder}; make a folder with: deckle new DIR`,
      exitCodes.noInput,
    );
  }
  const text = fs.readText(path);
  const document = parseDocument(text);
  const fault = document.errors[0];
  if (fault !== undefined) {
    throw new OperatorError(
      `chain.yaml line ${fault.linePos?.[0].line ?? 1}: ${fault.message.split('\n')[0]}`,
      exitCodes.chainFile,
    );
  }
  const content: unknown = document.toJS();
  const schema = JSON.parse(fs.readText(`${packageRoot()}/schemas/chain.schema.json`));
  const validate = new Ajv.default({ useDefaults: true, allErrors: true, verbose: true }).compile(schema);
  if (!validate(content)) {
    const first = (validate.errors ?? [])[0] as ErrorObject;
    const place = first.instancePath
      .split('/')
      .slice(1)
      .map((part) => (/^\d+$/.test(part) ? Number(part) : part));
    const key = unknownKey(first);
    throw new OperatorError(
      `chain.yaml line ${lineOf(text, document, key === '' ? place : [...place, key])}: ${wording(first)}`,
      exitCodes.chainFile,
    );
  }
  const chain = completed(content as Chain);
  const contradiction = chainFault(chain);
  if (contradiction !== undefined) {
    throw new OperatorError(
      `chain.yaml line ${lineOf(text, document, contradiction.place)}: ${contradiction.says}`,
      exitCodes.chainFile,
    );
  }
  return chain;
};

const lineOf = (
  text: string,
  document: ReturnType<typeof parseDocument>,
  place: (string | number)[],
): number => {
  const node = (place.length === 0 ? document.contents : document.getIn(place, true)) as {
    range?: number[];
  } | null;
  return text.slice(0, node?.range?.[0] ?? 0).split('\n').length;
};

const unknownKey = (fault: ErrorObject): string =>
  fault.keyword === 'additionalProperties'
    ? String((fault.params as { additionalProperty: string }).additionalProperty)
    : '';

const wording = (fault: ErrorObject): string => {
  const where = fault.instancePath === '' ? 'the file' : fault.instancePath.slice(1).replaceAll('/', '.');
  const key = unknownKey(fault);
  if (key === '') return `${where} ${fault.message ?? 'is not valid'}`;
  const near = nearestWord(key, Object.keys((fault.parentSchema as { properties: object }).properties));
  return `${where} has an unknown key "${key}"${near === '' ? '' : `; did you mean "${near}"?`}`;
};

/** Of an item without weight classes: one class of all weights, so that its tests are bought and compared like any. */
const allWeights = { name: 'all weights', from: 0, to: Number.POSITIVE_INFINITY };

/** Optional numbers to NaN, so that no stage meets undefined. */
const completed = (chain: Chain): Chain => ({
  ...chain,
  labor_per_hour: chain.labor_per_hour ?? Number.NaN,
  items: chain.items.map((item) => ({
    ...item,
    weight_classes:
      item.weight_classes.length === 0
        ? [allWeights]
        : item.weight_classes.map((range) => ({ ...range, to: range.to ?? Number.POSITIVE_INFINITY })),
  })),
  outputs: chain.outputs.map((output) => ({ ...output, lean_point: output.lean_point ?? Number.NaN })),
  methods: chain.methods.map((method) => ({
    ...method,
    demand_per_week: method.demand_per_week ?? Number.NaN,
  })),
});
