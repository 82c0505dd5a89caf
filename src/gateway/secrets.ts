/** The values of secrets by name; they come from the operator, never from a description file. */
export type Secrets = Readonly<Record<string, string>>

/** Gives a secret's value; asking for one that is missing is a fault of the set-up and throws. */
export function secretNamed(secrets: Secrets, name: string): string {
  const value = Object.hasOwn(secrets, name) ? secrets[name] : undefined
  if (value === undefined || value === '') throw new Error(`the gateway secret "${name}" is not set`)
  return value
}
