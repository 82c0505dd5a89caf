import type { Command } from 'commander'
import { z } from 'zod'
import { measure } from '../../core/texts/segments.ts'
import { answerLines, provenLine } from '../ndjson.ts'

const Line = z.object({ id: z.unknown().optional(), text: z.string('write the text to measure') })

function answer(value: unknown): unknown {
  const { id, text } = provenLine(Line, value)
  return { id: id ?? null, ...measure(text) }
}

/** `duebell measure`: what each text costs on the air. */
export function addMeasureCommand(program: Command): void {
  program
    .command('measure')
    .description('Tells the alphabet, units and parts of texts: JSON lines in, JSON lines out.')
    .action(() => answerLines(process.stdin, process.stdout, answer))
}
