import { findSigns } from '../../../src/core/reactions/sign-catalogue.ts'
import { readDataFile } from '../../../src/platform/data-files.ts'
import { signCatalogue } from '../../support/shipped-data.ts'

const found = (text: string) => findSigns(signCatalogue, text)
const codes = (text: string) => found(text).map(({ code }) => code)
const isSerious = (text: string) => found(text).some(({ weight }) => weight === 'serious')

/** Serious AEFI and danger signs: WHO Global manual on AEFI as restated by Ethiopia FMoH; UNICEF; in words of our own. */
const SERIOUS = [
  ['high fever and a fit last night', 'convulsion'],
  ['Baby CONVULSING since morning', 'convulsion'],
  ['convultion twice', 'convulsion'],
  ['the child died on Sunday', 'death'],
  ['admitted to hospital', 'hospital'],
  ['can’t breathe well, lips are blue', 'breathing-trouble'],
  ['swelling of the face and hives', 'face-swelling'],
  ['went floppy and pale', 'floppy'],
  ['very sleepy and wont wake', 'not-waking'],
  ['not able to drink, not feeding', 'cannot-drink'],
  ['crying for 4 hours', 'crying-long'],
  ['cannot move the left leg', 'cannot-move'],
  ['blood in the stool', 'bleeding'],

  ['convulsions depuis hier', 'convulsion'],
  ['il ne respire pas bien', 'breathing-trouble'],
  ['bébé tout mou', 'floppy'],
  ['elle ne se réveille pas', 'not-waking'],
  ['l’enfant est décédé', 'death'],
  ['pleure sans arrêt', 'crying-long'],
  ['visage très gonflé', 'face-swelling'],
  ['ne tète plus', 'cannot-drink'],

  ['tuvo convulsiones anoche', 'convulsion'],
  ['no puede respirar', 'breathing-trouble'],
  ['la niña murió', 'death'],
  ['se desmayó', 'floppy'],
  ['llora sin parar', 'crying-long'],
  ['no quiere mamar', 'cannot-drink'],
  ['no mueve la pierna', 'cannot-move'],
  ['cara muy hinchada', 'face-swelling'],

  ['teve convulsão', 'convulsion'],
  ['não consegue respirar', 'breathing-trouble'],
  ['o bebé morreu', 'death'],
  ['está muito mole', 'floppy'],
  ['chora sem parar', 'crying-long'],
  ['não mama desde ontem', 'cannot-drink'],
  ['o rosto está inchado', 'face-swelling'],
  ['não acorda', 'not-waking'],

  ['ana homa kali na degedege', 'convulsion'],
  ['anashindwa kupumua', 'breathing-trouble'],
  ['mtoto amefariki', 'death'],
  ['amezimia', 'floppy'],
  ['amepoteza fahamu', 'not-waking'],
  ['analia bila kuacha', 'crying-long'],
  ['hawezi kunyonya', 'cannot-drink'],
  ['mguu umelegea', 'cannot-move'],

  ['रात को दौरे आए', 'convulsion'],
  ['साँस लेने में तकलीफ़', 'breathing-trouble'],
  ['बच्चे की मौत हो गई', 'death'],
  ['बच्चा बेहोश है', 'not-waking'],
  ['शरीर ढीला पड़ गया', 'floppy'],
  ['दूध पी नहीं रहा', 'cannot-drink'],
  ['लगातार रो रहा है', 'crying-long'],
  ['अस्पताल में भर्ती', 'hospital'],

  ['حرارة وتشنجات', 'convulsion'],
  ['صعوبة في التنفس', 'breathing-trouble'],
  ['ماتت الطفلة', 'death'],
  ['إغماء', 'floppy'],
  ['لا يستيقظ', 'not-waking'],
  ['بكاء مستمر', 'crying-long'],
  ['لا ترضع', 'cannot-drink'],
  ['في المستشفى', 'hospital'],
] as const

/** Expected after a vaccine: mild fever, pain, redness or swelling for a day or two (UNICEF, questions 10 and 11). */
const ORDINARY = [
  ['mild fever', 'fever'],
  ['sore arm, a little red', 'at-the-site'],
  ['small lump where the needle went in', 'at-the-site'],
  ['a bit fussy', 'unsettled'],
  ['petite fièvre et douleur', 'fever'],
  ['un poco de fiebre', 'fever'],
  ['um pouco de febre e dor no braço', 'fever'],
  ['homa kidogo', 'fever'],
  ['हल्का बुखार', 'fever'],
  ['حرارة خفيفة', 'fever'],
  ['vomited once', 'stomach'],
] as const

describe('findSigns', () => {
  test.each(SERIOUS)('"%s" holds the serious sign %s', (text, sign) => {
    expect(codes(text)).toContain(sign)
    expect(isSerious(text)).toBe(true)
  })

  test.each(ORDINARY)('"%s" is ordinary: %s', (text, sign) => {
    expect(codes(text)).toContain(sign)
    expect(found(text).every(({ weight }) => weight === 'ordinary')).toBe(true)
  })

  test.each([
    ['pus at the place', 'abscess'],
    ['fever 39.5', 'high-fever'],
    ['swollen glands in the armpit', 'swollen-glands'],
    ['homa kali', 'high-fever'],
    ['तेज़ बुखार', 'high-fever'],
  ])('"%s" is for a person to read today: %s', (text, sign) => {
    expect(codes(text)).toContain(sign)
    expect(isSerious(text)).toBe(false)
  })

  test('a danger sign that is denied is found all the same: a missed fit costs more than a needless call', () => {
    expect(isSerious('no fit, only warm')).toBe(true)
  })

  test('words it does not know are no sign', () => {
    expect(codes('something is strange')).toEqual([])
    expect(codes('')).toEqual([])
  })
})

describe('the sign catalogue', () => {
  test('has words for every sign in each of the seven languages', () => {
    const { signs } = readDataFile('reactions/signs.json') as { signs: { code: string; words: object }[] }

    for (const { code, words } of signs)
      expect([code, ...Object.keys(words).sort()]).toEqual([code, 'ar', 'en', 'es', 'fr', 'hi', 'pt', 'sw'])
  })

  test('finds each of its own phrases, so that none is dead', () => {
    const { signs } = readDataFile('reactions/signs.json') as {
      signs: { code: string; words: Record<string, string[]> }[]
    }

    for (const { code, words } of signs)
      for (const phrase of Object.values(words).flat())
        expect(codes(phrase.replaceAll('*', ''))).toContain(code)
  })

  test('no ordinary phrase of any language is taken for a serious sign of another', () => {
    const file = readDataFile('reactions/signs.json') as {
      signs: { weight: string; words: Record<string, string[]> }[]
    }
    const phrases = file.signs
      .filter(({ weight }) => weight !== 'serious')
      .flatMap(({ words }) => Object.values(words).flat())
      .map((phrase) => phrase.replaceAll('*', ''))

    expect(phrases.filter(isSerious)).toEqual([])
  })

  test('counts as serious what WHO lists: death, threat to life, hospital, disability, birth defect, important event', () => {
    expect(signCatalogue.outcomes).toEqual([
      'death',
      'life-threatening',
      'hospital-stay',
      'disability',
      'birth-defect',
      'medically-important',
    ])
  })
})
