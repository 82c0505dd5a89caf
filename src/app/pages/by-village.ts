import type { Village } from '../../core/model.ts'

/** What belongs to one village. */
export interface OfVillage<Line> {
  readonly village: Village
  readonly lines: readonly Line[]
}

/** Lines gathered by village, in the order in which the villages first appear. */
export function byVillage<Line extends { readonly village: Village }>(
  lines: readonly Line[],
): readonly OfVillage<Line>[] {
  const groups = new Map<string, { village: Village; lines: Line[] }>()
  for (const line of lines) {
    const { village } = line
    const group = groups.get(village.id) ?? { village, lines: [] }
    group.lines.push(line)
    groups.set(village.id, group)
  }
  return [...groups.values()]
}
