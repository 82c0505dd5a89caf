import express, { Router } from 'express'
import { z } from 'zod'
import type { ScreenAnswer } from '../../app/ports.ts'
import { html, page } from './html.ts'
import { PHONE_SCRIPT, PHONE_STYLE } from './phone-assets.ts'

/** A phone that can be tried out on the page. */
export interface TryOutPhone {
  readonly number: string
  readonly owner: string
  /** What the owner is: vaccinator, manager, parent. */
  readonly role: string
}

export interface PhoneText {
  /** ISO instant. */
  readonly at: string
  readonly body: string
  /** Written on this phone. */
  readonly isMine: boolean
}

/** What the page drives: the phones of the handset gateway. */
export interface PhoneBench {
  readonly phones: () => Promise<readonly TryOutPhone[]>
  /** Texts to and from a phone, oldest first. */
  readonly thread: (number: string) => readonly PhoneText[]
  readonly text: (from: string, body: string) => Promise<void>
  readonly dial: (from: string) => Promise<ScreenAnswer>
  readonly press: (from: string, typed: string) => Promise<ScreenAnswer>
  /** The USSD code that is dialled. */
  readonly code: string
}

const number = z.string().regex(/^\+\d{7,15}$/)
const texting = z.object({ from: number, body: z.string().max(1000) })
const dialling = z.object({ from: number })
const pressing = z.object({ from: number, typed: z.string().max(160) })

/** `/phone`: a phone on a page, for trying the service out without a network. Never served beside a real gateway. */
export function phoneRouter(bench: PhoneBench): Router {
  const router = Router()
  router.get('/phone', async (_request, response) => {
    response.type('html').send(phonePage(await bench.phones(), bench.code))
  })
  router.get('/phone/phone.css', (_request, response) => {
    response.type('text/css').send(PHONE_STYLE)
  })
  router.get('/phone/phone.js', (_request, response) => {
    response.type('text/javascript').send(PHONE_SCRIPT)
  })
  router.get('/phone/thread', (request, response) => {
    response.json(bench.thread(number.parse(request.query['number'])))
  })
  router.use('/phone', express.json({ limit: '8kb' }))
  router.post('/phone/text', async (request, response) => {
    const { from, body } = texting.parse(request.body)
    await bench.text(from, body)
    response.json({ sent: true })
  })
  router.post('/phone/dial', async (request, response) => {
    response.json(await bench.dial(dialling.parse(request.body).from))
  })
  router.post('/phone/press', async (request, response) => {
    const { from, typed } = pressing.parse(request.body)
    response.json(await bench.press(from, typed))
  })
  return router
}

function phonePage(phones: readonly TryOutPhone[], code: string): string {
  const roles = [...new Set(phones.map((phone) => phone.role))]
  return page({
    title: 'Try a phone',
    language: 'en',
    head: html`<link rel="stylesheet" href="/phone/phone.css" />`,
    body: html`<main>
        <h1>Try a phone</h1>
        <p>Whose phone is it? Text as that person would; what the service sends arrives below.</p>
        <label for="who">Phone of</label>
        <select id="who">
          ${roles.map(
            (role) =>
              html`<optgroup label="${role}">
                ${phones
                  .filter((phone) => phone.role === role)
                  .map(
                    (phone) =>
                      html`<option value="${phone.number}">${phone.owner} (${phone.number})</option>`,
                  )}
              </optgroup>`,
          )}
        </select>
        <section class="handset" aria-label="Phone">
          <ol id="texts" aria-live="polite"></ol>
          <form id="write">
            <label for="body">Text</label>
            <textarea id="body" rows="2" autocomplete="off"></textarea>
            <button>Send text</button>
          </form>
        </section>
        <section class="handset" aria-label="USSD">
          <button id="dial" data-code="${code}">Dial ${code}</button>
          <pre id="screen" aria-live="polite"></pre>
          <form id="keys">
            <label for="typed">Answer</label>
            <input id="typed" inputmode="numeric" autocomplete="off" />
            <button>Press</button>
          </form>
        </section>
      </main>
      <script src="/phone/phone.js"></script>`,
  })
}
