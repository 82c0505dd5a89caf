const collator = new Intl.Collator('en')

/** Orders names as a person would; the database cannot, because it holds them sealed. */
export const byName = (one: string, other: string): number => collator.compare(one, other)
