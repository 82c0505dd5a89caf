import { scrypt } from 'node:crypto'

const DIGEST_BYTES = 32

/** Few digits are quickly tried out: a slow digest keeps whoever reads a table from trying all of them. */
export function slowDigest(secret: string, salt: string): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    scrypt(secret, salt, DIGEST_BYTES, (error, key) => {
      if (error === null) resolve(key)
      else reject(error)
    })
  })
}
