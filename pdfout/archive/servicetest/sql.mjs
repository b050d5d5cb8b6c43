// Answers the query on standard input with its rows as JSON, whole numbers of
// any length among them. Nothing is fetched from anywhere while it runs.
import { readFileSync } from 'node:fs';
import { DuckDBInstance } from '@duckdb/node-api';

function text(v) {
  if (v === null || v === undefined) return 'null';
  switch (typeof v) {
    case 'bigint': return String(v);
    case 'number': return Number.isFinite(v) ? JSON.stringify(v) : JSON.stringify(String(v));
    case 'boolean': case 'string': return JSON.stringify(v);
  }
  if (Array.isArray(v)) return '[' + v.map(text).join(',') + ']';
  if (Array.isArray(v.items)) return text(v.items);
  if (Array.isArray(v.entries)) return '[' + v.entries.map(e => text([e.key, e.value])).join(',') + ']';
  if (v.entries) return object(v.entries);
  return JSON.stringify(String(v));
}

function object(o) {
  return '{' + Object.entries(o).map(([k, v]) => JSON.stringify(k) + ':' + text(v)).join(',') + '}';
}

const instance = await DuckDBInstance.create(':memory:', {
  autoinstall_known_extensions: 'false', autoload_known_extensions: 'false',
});
const connection = await instance.connect();
const answer = await connection.runAndReadAll(readFileSync(0, 'utf8'));
process.stdout.write('[' + answer.getRowObjects().map(object).join(',\n') + ']\n');
