/** What a national list of facilities says otherwise than the posts of a district; a person decides on each. */

/** A line of the list. */
export interface ListedFacility {
  readonly nationalId: string
  readonly name: string
}

export interface KnownPost {
  readonly id: string
  readonly name: string
  readonly nationalId: string | null
}

/**
 * `new`: a facility that is no post here. `renamed`: its post has another name. `same-name`: a post without a national
 * number bears the name. `not-listed`: a post whose number is not on the list.
 */
export type PostDifference =
  | ({ readonly kind: 'new'; readonly postId: null } & ListedFacility)
  | ({ readonly kind: 'renamed' | 'same-name'; readonly postId: string } & ListedFacility)
  | {
      readonly kind: 'not-listed'
      readonly postId: string
      readonly nationalId: string
      readonly name: null
    }

export interface FacilityComparison {
  readonly differences: readonly PostDifference[]
  /** Numbers that the list gives to several facilities: none of them is taken. */
  readonly odd: readonly string[]
}

/** Compares the list with the posts; the same list against the same posts gives the same differences. */
export function compareFacilities(
  listed: readonly ListedFacility[],
  posts: readonly KnownPost[],
): FacilityComparison {
  const namesOf = new Map<string, Set<string>>()
  for (const { nationalId, name } of listed)
    namesOf.set(nationalId, (namesOf.get(nationalId) ?? new Set()).add(name))
  const odd = [...namesOf].flatMap(([nationalId, names]) => (names.size > 1 ? [nationalId] : []))
  const sound = [...namesOf].flatMap(([nationalId, [name, other]]) =>
    name === undefined || other !== undefined ? [] : [{ nationalId, name }],
  )
  const gone = posts.flatMap(({ id: postId, nationalId }) =>
    nationalId === null || namesOf.has(nationalId)
      ? []
      : [{ kind: 'not-listed' as const, postId, nationalId, name: null }],
  )
  return { differences: [...sound.flatMap((facility) => differenceOf(facility, posts)), ...gone], odd }
}

function differenceOf(facility: ListedFacility, posts: readonly KnownPost[]): readonly PostDifference[] {
  const known = posts.find(({ nationalId }) => nationalId === facility.nationalId)
  if (known !== undefined)
    return known.name === facility.name ? [] : [{ ...facility, kind: 'renamed', postId: known.id }]
  const namesake = posts.find(({ name, nationalId }) => nationalId === null && name === facility.name)
  return namesake === undefined
    ? [{ ...facility, kind: 'new', postId: null }]
    : [{ ...facility, kind: 'same-name', postId: namesake.id }]
}
