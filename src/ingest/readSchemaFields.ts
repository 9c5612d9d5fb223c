import type { FileSystem } from '../system/fileSystem.ts';
import { packageRoot } from '../system/packageRoot.ts';
import type { NamedFields, SchemaField } from './ingested.ts';
import { referenceTables } from './readReferenceFiles.ts';

/** The fields of a delivered table, from schemas/<table>.schema.json (Frictionless Table Schema). */
export const readSchemaFields = (table: string, fs: FileSystem): SchemaField[] =>
  JSON.parse(fs.readText(`${packageRoot()}/schemas/${table}.schema.json`)).fields;

/** The fields of what stores send, and of the reference tables that they may send instead. */
export const readSentSchemas = (
  fs: FileSystem,
): { tests: SchemaField[]; portions: SchemaField[]; tables: NamedFields[] } => ({
  tests: readSchemaFields('cutting-tests', fs),
  portions: readSchemaFields('portions', fs),
  tables: referenceTables.map((name) => ({ name, fields: readSchemaFields(name, fs) })),
});
