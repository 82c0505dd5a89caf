import { withoutEmpty } from './resource.ts'
import type { Resource } from './resource.ts'

export interface Found {
  readonly resources: readonly Resource[]
  /** The address of the next page. */
  readonly next: string | null
}

/** Resources that were found, as a searchset; each full address is below `base`. */
export function searchSet({ resources, next }: Found, base: string, self: string): Resource {
  return withoutEmpty({
    resourceType: 'Bundle',
    type: 'searchset',
    link: [{ relation: 'self', url: self }, ...(next === null ? [] : [{ relation: 'next', url: next }])],
    entry: resources.map((resource) => ({
      fullUrl: `${base}/${resource.resourceType}/${resource.id ?? ''}`,
      resource,
      search: { mode: 'match' },
    })),
  })
}
