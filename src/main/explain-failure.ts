import { Refusal } from '../core/refusals.ts'
import { ConfigError } from '../platform/config.ts'
import { BackupError } from '../store/backup/load.ts'
import { MigrationError } from '../store/migration-error.ts'
import { SealError } from '../store/sealing/vault.ts'

const FAILED = 1
/** Also what the shell's own commands use for being called wrongly (common practice, no source). */
const MISCONFIGURED = 2

/** What a failed command says, and its exit code: a sentence for what was foreseen, the stack for a bug. */
export function explainFailure(error: unknown): { readonly text: string; readonly exitCode: number } {
  if (error instanceof ConfigError) return { text: error.message, exitCode: MISCONFIGURED }
  if (error instanceof Refusal) return { text: error.detail, exitCode: FAILED }
  if (error instanceof MigrationError || error instanceof SealError || error instanceof BackupError)
    return { text: error.message, exitCode: FAILED }
  if (isPortTaken(error)) {
    const advice = 'another program listens there; end it, or choose another HTTP_PORT or METRICS_PORT.'
    return { text: `${error.message}: ${advice}`, exitCode: FAILED }
  }
  return { text: error instanceof Error ? (error.stack ?? error.message) : String(error), exitCode: FAILED }
}

function isPortTaken(error: unknown): error is Error {
  return error instanceof Error && 'code' in error && error.code === 'EADDRINUSE'
}
