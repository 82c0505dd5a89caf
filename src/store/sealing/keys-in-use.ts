import type pg from 'pg'
import { SealError, type Vault } from './vault.ts'

/**
 * Notes that the first key of the ring seals in this database, once all keys that ever did are in the ring: a service
 * with another key must not begin.
 * @throws {SealError} naming the keys that are missing
 */
export async function enterKeys(pool: pg.Pool, { keyIds }: Vault): Promise<void> {
  const { rows } = await pool.query<{ id: string }>('select id from sealing_key order by since')
  const missing = rows.map(({ id }) => id).filter((id) => !keyIds.includes(id))
  if (missing.length > 0) {
    throw new SealError(
      `The database is sealed with the key ${missing.join(', ')}, and the file of keys has ${keyIds.join(', ')}; ` +
        'put the file of keys that belongs to this database back (SEALING_KEYS_FILE, or the file keys in DUEBELL_DATA).',
    )
  }
  await pool.query('insert into sealing_key (id, since) values ($1, now()) on conflict (id) do nothing', [
    keyIds[0],
  ])
}
