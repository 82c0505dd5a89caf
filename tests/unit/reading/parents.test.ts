import { reading } from '../../support/reading.ts'

const read = (text: string, language = 'en'): unknown => {
  const { act, code } = reading(text, { from: 'parent', language })
  return act ?? code
}

describe('a text of a parent', () => {
  test.each([
    ['WHEN', 'next-date'],
    ['When is it please?', 'next-date'],
    ["pls tell me when my baby's next injection is", 'next-date'],
    ['whne', 'next-date'],
    ['later please', 'move-later'],
    ['STOP!!!', 'stop'],
    ['stop sending me messages', 'stop'],
    ['Please stop these reminders now', 'stop'],
    ['Stop. Thanks, Mary', 'stop'],
    ['STOP\n--\nSent from my phone', 'stop'],
    ['stpo', 'stop'],
    ['START again', 'start'],
    ['help', 'help'],
    ['yes please', 'answer-yes'],
    ['No thank you', 'answer-no'],
    ['English please', 'set-language'],
    ['LANGUAGE en', 'set-language'],
    ['language SW please', 'set-language'],
    ['العربية', 'set-language'],
  ])('%j asks for %s', (text, act) => {
    expect(read(text)).toBe(act)
  })

  // Words that message services commonly take as opting out and in: common practice, no source.
  test.each(['STOP', 'stop all', 'STOPALL', 'Unsubscribe', 'CANCEL', 'END', 'quit', 'opt out'])(
    '%s stops',
    (text) => {
      expect(read(text)).toBe('stop')
    },
  )
  test.each(['START', 'unstop', 'OPT IN'])('%s starts', (text) => {
    expect(read(text)).toBe('start')
  })

  test.each([
    ['fr', 'quand est le prochain rendez-vous ?', 'next-date'],
    ['fr', 'plus tard svp', 'move-later'],
    ['fr', 'arrêtez les messages', 'stop'],
    ['fr', 'reprendre', 'start'],
    ['fr', 'aide', 'help'],
    ['es', '¿Cuándo es la próxima vacuna?', 'next-date'],
    ['es', 'más tarde por favor', 'move-later'],
    ['es', 'ALTO', 'stop'],
    ['es', 'empezar', 'start'],
    ['pt', 'quando é a próxima vacina?', 'next-date'],
    ['pt', 'Sair', 'stop'],
    ['pt', 'começar', 'start'],
    ['sw', 'chanjo ijayo ni lini?', 'next-date'],
    ['sw', 'baadaye tafadhali', 'move-later'],
    ['sw', 'acha', 'stop'],
    ['sw', 'anza', 'start'],
    ['hi', 'अगला टीका कब है?', 'next-date'],
    ['hi', 'agla teeka kab hai', 'next-date'],
    ['hi', 'बंद करो', 'stop'],
    ['hi', 'शुरू', 'start'],
    ['ar', 'متى الموعد القادم؟', 'next-date'],
    ['ar', 'إيقاف', 'stop'],
    ['ar', 'توقّف', 'stop'],
    ['ar', 'ابدأ', 'start'],
    ['sw', 'STOP', 'stop'],
  ])('%s: %s asks for %s', (language, text, act) => {
    expect(read(text, language)).toBe(act)
  })

  test.each([
    'my baby has high fever',
    'help me my baby has fits',
    'when she had the injection she got fits',
    "please don't stop the medicine",
    'stop crying since the injection',
    'reaction my baby has fever',
    'New baby has a rash',
    'Missed yesterday sorry',
    'start of fever last night',
    'card lost',
    '🙏🙏',
    'ok thanks',
    '48217739',
    '...',
  ])('%j is for a person (requirements AEF-06, REM-20)', (text) => {
    expect(read(text)).toBe('not-understood')
  })

  test.each(['GAVE 48217739 BOPV', 'COVER Mbari', 'UNDO', 'NEW Mbari 12/10/2026 F 07700900123 Asha'])(
    '%j is for workers only',
    (text) => {
      expect(read(text)).toBe('role-not-allowed')
    },
  )

  test.each(['', ' \n ', '\u200b\u00a0'])('%j is empty', (text) => {
    expect(read(text)).toBe('empty')
  })

  test('two wishes in one text are asked about', () => {
    expect(reading('stop or later?', { from: 'parent' })).toMatchObject({
      code: 'keyword-unclear',
      choices: ['STOP', 'LATER'],
    })
  })
})
