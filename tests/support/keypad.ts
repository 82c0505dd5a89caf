import type { RunningService, HandsetService } from './running-service.ts'

/** A phone on which USSD menus are walked through. */
export interface Keypad {
  /** Dials, then answers each screen in turn; gives the last one. */
  readonly dial: (...keys: readonly string[]) => Promise<string>
  /** Answers the open screen, and those after it; gives the last one. */
  readonly press: (...keys: readonly string[]) => Promise<string>
  /** The open screen, and its pages after it, as one text without what stands below each. */
  readonly readOn: () => Promise<string>
  /** Answers the open screen with the number of the line that has these words, turning pages up to it. */
  readonly choose: (words: string) => Promise<string>
  /** Whether the last screen ended the dialogue. */
  readonly isOver: () => boolean
}

const MORE = /(^|\s)9 More$/

/** The phone of a number in a service whose phones are in this process. */
export function keypadOf(
  { handset }: Pick<HandsetService & RunningService, 'handset'>,
  number: string,
): Keypad {
  let screen = ''
  let isOver = true

  async function press(...keys: readonly string[]): Promise<string> {
    for (const key of keys) {
      const answer = await handset.press(number, key)
      screen = answer.text
      isOver = answer.ends
    }
    return screen
  }

  return {
    press,
    isOver: () => isOver,
    dial: async (...keys) => {
      const answer = await handset.dial(number, '*7709#')
      screen = answer.text
      isOver = answer.ends
      return press(...keys)
    },
    readOn: async () => {
      const pages = [screen]
      while (MORE.test(screen)) pages.push(await press('9'))
      return pages.map((page) => page.replace(/\n?0 \S+( 00 Menu)?( 9 More)?$/, '')).join('\n')
    },
    choose: async (words) => {
      for (;;) {
        const line = screen.split('\n').find((each) => each.slice(2).trim() === words)
        if (line !== undefined) return press(line.split(' ')[0] ?? '')
        if (!MORE.test(screen)) throw new Error(`no line "${words}" on: ${screen}`)
        await press('9')
      }
    },
  }
}
