/** What the holder of a token may be. */
export const TOKEN_ROLES = ['officer', 'manager', 'vaccinator', 'operator', 'machine'] as const

export type TokenRole = (typeof TOKEN_ROLES)[number]
