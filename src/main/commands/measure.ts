import type { Command } from 'commander'
import { z } from 'zod'
import { measure } from '../../core/texts/segments.ts'
import { answerLines, LineProblem } from '../ndjson.ts'

const Line = z.object({ id: z.unknown(), text: z.string() })

function answer(value: unknown): unknown {
  const line = Line.safeParse(value)
  if (!line.success) throw new LineProblem('input-invalid', z.prettifyError(line.error))
  return { id: line.data.id ?? null, ...measure(line.data.text) }
}

/** `duebell measure`: what each text costs on the air. */
export function addMeasureCommand(program: Command): void {
  program
    .command('measure')
    .description('Tells the alphabet, units and parts of texts: JSON lines in, JSON lines out.')
    .action(() => answerLines(process.stdin, process.stdout, answer))
}
