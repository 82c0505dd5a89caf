import express, { Router } from 'express'
import { z } from 'zod'
import type { ScreenAnswer } from '../../app/ports.ts'
import { proven } from './guard.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { plainPage } from './layout.ts'

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
  readonly thread: (number: string) => readonly PhoneText[] | Promise<readonly PhoneText[]>
  readonly text: (from: string, body: string) => Promise<void>
  readonly dial: (from: string) => Promise<ScreenAnswer>
  readonly press: (from: string, typed: string) => Promise<ScreenAnswer>
  /** The USSD code that is dialled. */
  readonly code: string
}

export const phoneNumber = z.string().regex(/^\+\d{7,15}$/)
export const texting = z.object({ from: phoneNumber, body: z.string().max(1000) })
export const dialling = z.object({ from: phoneNumber })
export const pressing = z.object({ from: phoneNumber, typed: z.string().max(160) })

/** `/phone`: a phone on a page, for trying the service out without a network. Never served beside a real gateway. */
export function phoneRouter(bench: PhoneBench): Router {
  const router = Router()
  router.get('/phone', async (_request, response) => {
    response
      .type('html')
      .send(plainPage('Try a phone', phoneBody(await bench.phones(), bench.code), PHONE_HEAD))
  })
  router.get('/phone/thread', async (request, response) => {
    response.json(await bench.thread(proven(phoneNumber, request.query['number'])))
  })
  router.use('/phone', express.json({ limit: '8kb' }))
  router.post('/phone/text', async (request, response) => {
    const { from, body } = proven(texting, request.body)
    await bench.text(from, body)
    response.json({ sent: true })
  })
  router.post('/phone/dial', async (request, response) => {
    response.json(await bench.dial(proven(dialling, request.body).from))
  })
  router.post('/phone/press', async (request, response) => {
    const { from, typed } = proven(pressing, request.body)
    response.json(await bench.press(from, typed))
  })
  return router
}

/** What each may text, to begin with. */
const EXAMPLES: Readonly<Record<string, readonly string[]>> = {
  vaccinator: ['DUE', 'HELP', 'MISSED'],
  manager: ['COVER', 'MISSED', 'HELP'],
  parent: ['WHEN', 'LATER', 'HELP', 'STOP'],
}

export const PHONE_HEAD = html`<link rel="stylesheet" href="/assets/phone.css" />
  <script src="/assets/phone.js" defer></script>`

/** A phone to choose, to text on and to dial with. */
export function phoneBody(phones: readonly TryOutPhone[], code: string): Markup {
  return html`<h1>Try a phone</h1>
    <p class="about">
      Text as that person would, or dial the menu. What the service sends arrives here; nothing leaves this
      page.
    </p>
    <div class="choices who">
      <div>
        <label for="who">Whose phone is it?</label>
        <select id="who">
          ${[...new Set(phones.map(({ role }) => role))].map((role) => phonesOf(role, phones))}
        </select>
      </div>
    </div>
    <div class="phones">
      <section class="handset" aria-labelledby="texting">
        <h2 id="texting">Texts</h2>
        <ol id="texts" aria-live="polite" tabindex="0" aria-label="Texts of this phone"></ol>
        <form id="write">
          <label for="body">Write a text</label>
          <textarea id="body" rows="2" autocomplete="off"></textarea>
          <button>Send text</button>
        </form>
        <p class="about">For example</p>
        <div class="examples">
          ${Object.entries(EXAMPLES).map(([role, texts]) => texts.map((text) => exampleButton(role, text)))}
        </div>
      </section>
      <section class="handset" aria-labelledby="dialling">
        <h2 id="dialling">Menu</h2>
        <button id="dial" type="button">Dial ${code}</button>
        <pre id="screen" role="log" aria-label="Screen" tabindex="0"></pre>
        <form id="keys">
          <label for="typed">Answer</label>
          <input id="typed" autocomplete="off" />
          <button>Send answer</button>
        </form>
      </section>
    </div>`
}

function phonesOf(role: string, phones: readonly TryOutPhone[]): Markup {
  return html`<optgroup label="${role}">
    ${phones
      .filter((phone) => phone.role === role)
      .map(
        ({ number, owner }) =>
          html`<option value="${number}" data-role="${role}">${owner} (${number})</option>`,
      )}
  </optgroup>`
}

function exampleButton(role: string, text: string): Markup {
  return html`<button type="button" class="quiet" data-role="${role}" data-example="${text}" hidden>
    ${text}
  </button>`
}
