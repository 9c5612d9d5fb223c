import type { Chain } from '../../catalog/chain.ts';
import type { FoundNight } from '../../findings/found.ts';
import type { IntakeRow, Reject } from '../../ingest/ingested.ts';
import type { MeasuredNight, MeasuredOutput, MeasuredTest } from '../../measure/measured.ts';
import type { ModeledNight } from '../../model/modeled.ts';
import type { RepairRow } from '../../review/reviewed.ts';
import { rowsOf } from '../../tables/rows.ts';
import { kilogramsPer } from '../../units/weight.ts';
import { coachingFile } from './coachingFile.ts';
import { methodsFile, owedFile, standardsFile } from './decisionFiles.ts';
import { intakeFile, rejectsFile, storesFile } from './deliveryFiles.ts';
import { findingsFile, lossesFile, smallRoomsFile } from './findingFiles.ts';
import { builtYields, classPricesFile, curvesFile, effectsFile, termsFile } from './modelFiles.ts';
import { moneyFiles } from './moneyFiles.ts';
import { publishedLosses, smallRoomsRows } from './publishedLosses.ts';
import { repairsFile } from './repairsFile.ts';
import { type ResultsUnits, type WrittenFile, writtenFile } from './resultsFile.ts';
import { outputsFile, type TestRow, testsFile } from './testFiles.ts';

export type ResultsInput = {
  chain: Chain;
  measured: MeasuredNight;
  modeled: ModeledNight;
  found: FoundNight;
  intake: readonly IntakeRow[];
  rejects: readonly Reject[];
  repairs: readonly RepairRow[];
};

/** The results of a night as files: results/<name>.csv in the contract's columns, findings.json and datapackage.json. */
export const results = (input: ResultsInput): Map<string, string> => {
  const { chain, modeled, found } = input;
  const units: ResultsUnits = {
    unit: chain.unit,
    unitKg: kilogramsPer(chain.unit),
    currency: chain.currency,
  };
  const minimumGroup = chain.privacy.minimum_group;
  const written = [
    writtenFile(testsFile, testRows(input), units),
    writtenFile(outputsFile, rowsOf<MeasuredOutput>(input.measured.outputs), units),
    writtenFile(repairsFile(chain.unit), input.repairs, units),
    writtenFile(effectsFile(`${chain.currency}/${chain.unit}`), modeled.effects, units),
    writtenFile(findingsFile, found.findings, units),
    writtenFile(lossesFile, publishedLosses(found.losses, minimumGroup), units),
    writtenFile(smallRoomsFile, smallRoomsRows(found.losses, minimumGroup), units),
    writtenFile(curvesFile, modeled.curves, units),
    writtenFile(classPricesFile, modeled.classPrices, units),
    writtenFile(termsFile, builtYields(modeled), units),
    writtenFile(standardsFile, found.standards, units),
    writtenFile(owedFile, found.owed, units),
    writtenFile(coachingFile, found.coaching, units),
    writtenFile(storesFile, found.stores, units),
    writtenFile(intakeFile, input.intake, units),
    writtenFile(rejectsFile, input.rejects, units),
    writtenFile(methodsFile, found.methods, units),
    ...moneyFiles(found, units),
  ];
  const files = new Map(written.map((file) => [file.name, file.text]));
  files.set('findings.json', `${JSON.stringify(found.findings, null, 1)}\n`);
  files.set('datapackage.json', dataPackage(written));
  return files;
};

const testRows = ({ chain, measured, modeled }: ResultsInput): TestRow[] => {
  const expected = new Map(
    rowsOf<{ store: string; testId: string; expected_saleable: number; expected_main_cut: number }>(
      modeled.expected,
    ).map((row) => [`${row.store}\u0000${row.testId}`, row]),
  );
  return rowsOf<MeasuredTest>(measured.tests).map((test) => {
    const row = expected.get(`${test.store}\u0000${test.testId}`);
    return {
      ...test,
      unitName: chain.unit,
      expectedSaleable: row?.expected_saleable ?? Number.NaN,
      expectedMainCut: row?.expected_main_cut ?? Number.NaN,
    };
  });
};

/** Data Package descriptor (datapackage.org, version 2) of the CSVs from the columns' own table. */
const dataPackage = (files: readonly WrittenFile[]): string =>
  `${JSON.stringify(
    {
      $schema: 'https://datapackage.org/profiles/2.0/datapackage.json',
      name: 'deckle-results',
      resources: files.map((file) => file.resource),
    },
    null,
    1,
  )}\n`;
