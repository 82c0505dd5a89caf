import type { Child } from '../../src/generated/prisma/client.ts'
import type { Db } from '../../src/store/database.ts'

/** The child of a name; names are sealed, so the database cannot look for one. */
export async function childNamed(db: Db, name: string): Promise<Child> {
  const child = (await db.child.findMany()).find((each) => each.name === name)
  if (child === undefined) throw new Error(`there is no child ${name}`)
  return child
}
