/** What other systems can be told of. */
export const NEWS_KINDS = ['enrolment', 'dose', 'missed', 'reaction'] as const
export type NewsKind = (typeof NEWS_KINDS)[number]

/** Something that happened, by identifiers. */
export interface News {
  readonly kind: NewsKind
  readonly districtId: string
  readonly childId: string
  /** The dose, visit or reaction; null for an enrolment. */
  readonly subjectId: string | null
  readonly happenedAt: Date
}

/** Under which name each kind of news tells its own identifier. */
const SUBJECTS = { enrolment: null, dose: 'dose', missed: 'visit', reaction: 'reaction' } as const

/** The body of a call: type, time and data, as Standard Webhooks has it. `resource` is there where it may be told. */
export function newsBody(news: News, resource: object | null): string {
  const subject = SUBJECTS[news.kind]
  return JSON.stringify({
    type: news.kind,
    timestamp: news.happenedAt.toISOString(),
    data: {
      district: news.districtId,
      child: news.childId,
      ...(subject === null ? {} : { [subject]: news.subjectId }),
      ...(resource === null ? {} : { resource }),
    },
  })
}
