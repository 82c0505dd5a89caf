import type { RequestListener } from 'node:http'

export interface MetricsText {
  readonly text: () => Promise<string>
  readonly contentType: string
}

/** Serves `/metrics`, and nothing else, on an address of its own: it is not for the public. */
export function metricsListener(metrics: MetricsText, onError: (error: unknown) => void): RequestListener {
  return (request, response) => {
    if (request.url !== '/metrics' || request.method !== 'GET') {
      response.writeHead(404).end()
      return
    }
    metrics.text().then(
      (text) => response.writeHead(200, { 'content-type': metrics.contentType }).end(text),
      (error: unknown) => {
        onError(error)
        response.writeHead(503).end()
      },
    )
  }
}
