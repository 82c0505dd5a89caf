/** A FHIR R4 resource on its way out; tests hold each against the official JSON schema. */
export interface Resource {
  readonly resourceType: string
  readonly id?: string
  readonly [element: string]: unknown
}

export interface Coding {
  readonly system?: string | undefined
  readonly code?: string | undefined
  readonly display?: string | undefined
}

/** FHIR forbids empty elements: those that are undefined, null or an empty list are left out. */
export function withoutEmpty<T extends object>(elements: T): T {
  const kept = Object.entries(elements).filter(
    ([, value]) => value !== undefined && value !== null && !(Array.isArray(value) && value.length === 0),
  )
  // The same keys or fewer; only those without a value are gone.
  return Object.fromEntries(kept) as T
}

/** `Patient/…` and what it is called. */
export function reference(type: string, id: string, display?: string) {
  return withoutEmpty({ reference: `${type}/${id}`, display })
}

/** The element that carries when a resource changed last. */
export function lastUpdated(at: Date) {
  return { lastUpdated: at.toISOString() }
}
