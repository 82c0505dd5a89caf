/** Something wrong with a schedule file: where, and what is wrong in words. */
export interface ScheduleProblem {
  /** Like `series.OPV.doses.2`. */
  readonly path: string
  readonly message: string
}
