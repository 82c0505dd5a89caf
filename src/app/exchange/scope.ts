import type { District } from '../../core/model.ts'

/** What a delivery from another register is read against. */
export interface ExchangeScope {
  readonly district: District
  /** The district's health posts. */
  readonly postIds: ReadonlySet<string>
  /** Where children live whose address names no village; null: they are refused. */
  readonly villageId: string | null
  /** The token's name. */
  readonly by: string
}

/** What became of one resource. */
export interface Taken {
  readonly kind: 'created' | 'known' | 'kept-aside'
  /** `Patient` or `Immunization`, and our identifier where it has one. */
  readonly id: string | null
  /** Worth knowing for the sender. */
  readonly remark: { readonly code: string; readonly detail: string } | null
}
