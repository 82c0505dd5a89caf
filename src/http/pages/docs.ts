import { createRequire } from 'node:module'
import { dirname } from 'node:path'
import express, { Router } from 'express'
import { html, page } from './html.ts'

const viewerFolder = dirname(createRequire(import.meta.url).resolve('swagger-ui-dist/package.json'))

/** `/docs`: the API as a readable page, by a general-purpose OpenAPI viewer. */
export function docsRouter(): Router {
  const router = Router()
  router.use('/docs/viewer', express.static(viewerFolder, { index: false }))
  router.get('/docs/start.js', (_request, response) => {
    response
      .type('text/javascript')
      .send("SwaggerUIBundle({ url: '/v1/openapi.json', dom_id: '#api', deepLinking: true })\n")
  })
  router.get('/docs', (_request, response) => {
    response.type('html').send(
      page({
        title: 'Duebell API',
        language: 'en',
        head: html`<link rel="stylesheet" href="/docs/viewer/swagger-ui.css" />`,
        body: html`<div id="api"></div>
          <script src="/docs/viewer/swagger-ui-bundle.js"></script>
          <script src="/docs/start.js"></script>`,
      }),
    )
  })
  return router
}
