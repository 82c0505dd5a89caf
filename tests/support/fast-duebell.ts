/** `duebell serve` on the clock that the environment describes. */
import { serve } from '../../src/main/serve.ts'
import { fastClock } from './fast-clock.ts'

await serve(process.env, fastClock(process.env))
