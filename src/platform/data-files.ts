import { readdirSync, readFileSync } from 'node:fs'

const DATA = new URL('../data/', import.meta.url)

/** Reads a JSON file below src/data, unproven; the reader checks it with its own schema. */
export function readDataFile(path: string): unknown {
  const parsed: unknown = JSON.parse(readFileSync(new URL(path, DATA), 'utf8'))
  return parsed
}

/** Names, without `.json`, of the JSON files in a folder below src/data, sorted. */
export function listDataFiles(folder: string): string[] {
  return readdirSync(new URL(`${folder}/`, DATA))
    .filter((name) => name.endsWith('.json'))
    .map((name) => name.slice(0, -'.json'.length))
    .sort()
}
