import { at, id, on } from './sample-values.ts'

/** Rows of what was decided or done beside the schedule's advice. */
export const CLINICAL_SAMPLES = {
  calendarLink: {
    id: id(61),
    districtId: id(1),
    postId: id(2),
    childId: null,
    secretHash: 'c',
    madeBy: 'a manager',
    madeAt: at(8),
    endedAt: at(9),
  },
  clinicalNote: {
    id: id(60),
    childId: id(7),
    districtId: id(1),
    decision: { kind: 'risk', risk: 'preterm' },
    reason: 'born in week 33',
    decidedBy: 'District clinical officer',
    notedBy: 'a manager',
    notedOn: on('2026-02-01'),
    endedOn: on('2026-03-01'),
    endedBy: 'a manager',
    createdAt: at(8),
  },
  doseAgainstAdvice: {
    doseId: id(10),
    reason: 'last visit before the family left',
    notedBy: 'a manager',
    notedAt: at(8),
  },
}
