import type { FileSystem } from '../system/fileSystem.ts';
import { packageRoot } from '../system/packageRoot.ts';
import type { SchemaField } from './ingested.ts';

/** The fields of a delivered table, from schemas/<table>.schema.json (Frictionless Table Schema). */
export const readSchemaFields = (table: string, fs: FileSystem): SchemaField[] =>
  JSON.parse(fs.readText(`${packageRoot()}/schemas/${table}.schema.json`)).fields;
