/** The database cannot be brought to this release's shape; the message says why and what to do. */
export class MigrationError extends Error {
  override readonly name = 'MigrationError'
}
