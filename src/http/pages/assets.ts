import { fileURLToPath } from 'node:url'
import express, { Router } from 'express'

/** The same place from src and from dist. */
const FOLDER = fileURLToPath(new URL('assets', import.meta.url))

/** Style sheets and scripts of the pages: files of their own, so that nothing inline is needed. */
export function assetsRouter(): Router {
  return Router().use('/assets', express.static(FOLDER, { index: false, maxAge: '1h' }))
}
