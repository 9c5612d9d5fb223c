import { exitCodes, OperatorError } from '../src/faults/operatorError.ts';
import { type RejectCode, rejectCodes } from '../src/faults/rejectCodes.ts';
import { readFindings, readResults } from '../src/publish/readRelease.ts';
import type { FileSystem } from '../src/system/fileSystem.ts';

/** Lines of text that walk a test (STORE/TEST), a finding id or a reject code back to its source. */
export const explain = (id: string, chainFolder: string, fs: FileSystem): string[] => {
  if (Object.hasOwn(rejectCodes, id)) {
    const wording = rejectCodes[id as RejectCode];
    return [
      `${id}: ${wording.message}`,
      `what to do: ${wording.remedy}`,
      `Frictionless error type: ${wording.frictionless}`,
    ];
  }
  const finding = readFindings(chainFolder, fs).find((row) => row.findingId === id);
  if (finding !== undefined) {
    const tests = finding.evidence.map(
      (test) => `  ${test.store}/${test.testId}  ${test.sourceFile} line ${test.sourceLine}`,
    );
    return [
      finding.headline,
      `step: ${finding.step}`,
      `adjusted for: ${finding.adjustments.join(', ') || 'nothing'}`,
      'tests behind it:',
      ...tests,
    ];
  }
  const test = readResults(chainFolder, 'tests', fs).find(
    (row) => `${row['store']}/${row['test_id']}` === id,
  );
  if (test === undefined)
    throw new OperatorError(
      `nothing is called "${id}"; give STORE/TEST, a finding id or a reject code`,
      exitCodes.usage,
    );
  const lines = readResults(chainFolder, 'test-outputs', fs).filter(
    (row) => `${row['store']}/${row['test_id']}` === id,
  );
  const unit = test['unit'];
  return [
    `${id}  ${test['item']} ${test['spec']} ${test['grade']}, ${test['method']}, cut ${test['cut_date']} (${test['source_file']} line ${test['source_line']})`,
    `state ${test['state']}${test['reasons'] === '' ? '' : `: ${test['reasons']}`}`,
    `billed ${test['billed_weight']} ${unit}, received ${test['received_weight']}, purge ${test['purge_weight'] || 'not given'}, drained ${test['drained_weight']}, unaccounted ${test['unaccounted_weight']}`,
    ...lines.map(
      (row) =>
        `  ${row['output']} (${row['class']}): ${row['weight']} ${unit} at ${row['price'] || 'no price'} = ${row['sales_value'] || 'not valued'}`,
    ),
    `purchase cost ${test['purchase_cost']}, sales value ${test['sales_value']}, gross margin ${test['gross_margin']} (${test['margin_pct']} % of sales, ${test['markup_pct']} % of cost)`,
    `cost per saleable ${unit} ${test['cost_per_saleable']}, residual cost per main ${unit} ${test['residual_cost']}, cost factor ${test['cost_factor']}`,
    `saleable yield ${test['saleable_yield']}, expected ${test['expected_saleable_yield'] || 'not used'}; main cut ${test['main_cut_yield']}, expected ${test['expected_main_cut_yield'] || 'not used'}`,
  ];
};
