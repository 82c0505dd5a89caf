import type { Resource } from './resource.ts'
import { SYSTEM } from './systems.ts'

export type Severity = 'error' | 'warning' | 'information'

export interface Finding {
  readonly severity: Severity
  /** A code of issue-type (R4). */
  readonly type: string
  /** Our own code, if there is one. */
  readonly code: string
  readonly detail: string
}

/** What went wrong, or is worth knowing, as an OperationOutcome (R4). */
export function outcomeResource(findings: readonly Finding[]): Resource {
  return {
    resourceType: 'OperationOutcome',
    issue: findings.map(({ severity, type, code, detail }) => ({
      severity,
      code: type,
      details: { coding: [{ system: SYSTEM.problem, code }] },
      diagnostics: detail,
    })),
  }
}

const TYPES: Readonly<Record<number, string>> = {
  400: 'invalid',
  401: 'login',
  403: 'forbidden',
  404: 'not-found',
  409: 'conflict',
  413: 'too-costly',
  415: 'not-supported',
  422: 'processing',
}

/** The issue type of an HTTP status. */
export function issueType(status: number): string {
  return TYPES[status] ?? 'exception'
}
