import { reading } from '../../support/reading.ts'

const TODAY = { act: 'record-doses', card: '48217739', all: false, date: '2026-11-24', vial: null }

describe('GAVE, as phones and hurry write it', () => {
  test.each([
    'GAVE 48217739 BOPV',
    'gave to 4821 7739 opv.',
    'GAVE 48-21-77-39 OPV',
    'GAVE 4 8 2 1 7 7 3 9 bopv',
    'GAVE 4821.7739, opv',
    'GAVE48217739 BOPV',
    'GAVE 48217739BOPV',
    'gave gave 48217739 bopv bopv',
    'Gave\u00a04821\u00a07739\u200b BOPV',
    '“GAVE” 4821 7739 ‘BOPV’',
    'GAVE ۴۸۲۱۷۷۳۹ BOPV',
    'GAVE ४८२१७७३९ BOPV',
    'GAVE ৪৮২১৭৭৩৯ BOPV',
    'GAVE 4️⃣8️⃣2️⃣1️⃣7739 opv ✅👍',
    'GAVE 482l7739 0PV',
    'GAVE 482I7739 BPOV',
    'GAVE 4821 7739 polio drops',
    'gvae 48217739 bopv',
    'GIVE 48217739 bopv',
    'Pls gave 48217739 opv pls',
    'Good morning, I gave 4821 7739 opv today',
    'GAVE opv 4821 7739',
    'GAVE today opv, card 4821 7739',
    '48217739 gave opv',
    'GAVE 48217739 BOPV. Thank you sister',
    'GAVE 48217739 BOPV\nRegards, Nurse Penda',
    'GAVE 48217739 BOPV\n--\nPenda 30951466',
    'GAVE 48217739 BOPV\nMary Temba',
    'GAVE 48217739 BOPV - Asha',
    '1. GAVE 48217739 BOPV',
    'GAVE 48217739\n\nBOPV',
  ])('%j records BOPV', (text) => {
    expect(reading(text)).toEqual({ ...TODAY, vaccines: ['BOPV'], typed: [] })
  })

  test.each([
    'GAVE 48217739 OPV-2,PENTA-2',
    'GAVE 48217739 opv 2 penta 2',
    'GAVE opv 2 penta 2 4821 7739',
    'GAVE 48217739 OPV2PENTA2',
    'GAVE 48217739 opv2/penta2',
    'GAVE 48217739 opv2+penta2',
    'GAVE 48217739 opv dose 2 & DPT-HepB-Hib II',
    'GAVE 48217739 opv 2nd, pentavalent 2nd',
  ])('%j keeps the dose numbers', (text) => {
    expect(reading(text)).toEqual({
      ...TODAY,
      vaccines: ['BOPV', 'PENTA'],
      typed: [
        { vaccine: 'BOPV', dose: 2 },
        { vaccine: 'PENTA', dose: 2 },
      ],
    })
  })

  test.each([
    ['hepB0', 'HEPB'],
    ['opv O', 'BOPV'],
    ['OPV birth dose', 'BOPV'],
    ['opv zero', 'BOPV'],
  ])('numbers the dose at birth 0: %s', (words, vaccine) => {
    expect(reading(`GAVE 48217739 ${words}`)).toMatchObject({ typed: [{ vaccine, dose: 0 }] })
  })

  test.each([
    ['dtp mmr', ['DTP', 'MMR']],
    ['ipv', ['IPV']],
    ['fractional ipv', ['FIPV']],
    ['PCV13', ['PCV']],
    ['pcv 10', ['PCV']],
    ['nopv2', ['NOPV']],
    ['measles rubella, vit A', ['MR', 'VITA']],
    ['yellow fever and men a', ['YF', 'MENA']],
    ['FIPV 0.1ml', ['FIPV']],
    ['pneta', ['PENTA']],
    ['rotta', ['ROTA']],
  ])('knows %p', (words, vaccines) => {
    expect(reading(`GAVE 48217739 ${words}`)).toMatchObject({ vaccines })
  })

  test.each(['GAVE 4821 7739 ALL', 'gave all 48217739', 'GAVE 4821-7739 everything.'])(
    '%j records all that is due',
    (text) => {
      expect(reading(text)).toEqual({ ...TODAY, vaccines: [], typed: [], all: true })
    },
  )

  test.each(['V 317', 'v317', 'vial 317', 'from vial no. 3I7'])('reads %p as vial 317', (words) => {
    expect(reading(`GAVE 48217739 MR ${words}`)).toMatchObject({ vial: '317', vaccines: ['MR'] })
  })
})

describe('GAVE with something wrong', () => {
  test.each([
    ['GAVE', 'card-missing', null],
    ['GAVE BOPV', 'card-missing', null],
    ['GAVE 48217738 BOPV', 'card-check-digit', '48217738'],
    ['GAVE 4821 7738 BOPV', 'card-check-digit', '4821 7738'],
    ['GAVE 4821773 BOPV', 'card-length', '4821773'],
    ['GAVE 482177390 BOPV', 'card-length', '482177390'],
    ['GAVE 48217739 30951467 BOPV', 'card-check-digit', '30951467'],
    ['GAVE 48217739', 'vaccine-missing', null],
    ['GAVE 48217739 BOPV XYZZY', 'vaccine-unknown', 'XYZZY'],
    ['GAVE 48217739 MR for Asha', 'vaccine-unknown', 'Asha'],
    ['GAVE 48217739 MR\nPentavlent', 'vaccine-unknown', 'Pentavlent'],
    ['GAVE 48217739 MR - pentva', 'vaccine-unknown', 'pentva'],
    ['GAVE 48217739 opv yestarday', 'vaccine-unknown', 'yestarday'],
  ])('%j is refused: %s', (text, code, word) => {
    expect(reading(text)).toMatchObject({ code, word })
  })

  test('says what was understood all the same', () => {
    expect(reading('GAVE 4821773 opv 23/11')['understood']).toEqual({
      act: 'record-doses',
      vaccines: ['BOPV'],
      date: '2026-11-23',
    })
  })

  test.each([
    [
      'GAVE 48217739 30951466 MR',
      'card-unclear',
      ['GAVE 4821 7739 MR 2026-11-24', 'GAVE 3095 1466 MR 2026-11-24'],
    ],
    [
      'GAVE 48217739 measles',
      'vaccine-unclear',
      ['GAVE 4821 7739 MR 2026-11-24', 'GAVE 4821 7739 MMR 2026-11-24'],
    ],
    [
      'GAVE 48217739 polio 2',
      'vaccine-unclear',
      ['GAVE 4821 7739 BOPV 2 2026-11-24', 'GAVE 4821 7739 FIPV 2 2026-11-24'],
    ],
    [
      'GAVE 48217739 TOPV',
      'vaccine-unclear',
      ['GAVE 4821 7739 BOPV 2026-11-24', 'GAVE 4821 7739 NOPV 2026-11-24'],
    ],
    [
      'GAVE 48217739 all opv',
      'vaccine-unclear',
      ['GAVE 4821 7739 BOPV 2026-11-24', 'GAVE 4821 7739 ALL 2026-11-24'],
    ],
    ['48217739 opv', 'keyword-unclear', ['GAVE 4821 7739 BOPV 2026-11-24', 'CARD 4821 7739']],
    ['CARD 48217739 gave opv', 'keyword-unclear', ['GAVE 4821 7739 BOPV 2026-11-24', 'CARD 4821 7739']],
    ['GAVE 4B217739 MR', 'card-check-digit', ['GAVE 4821 7739 MR 2026-11-24']],
    ['GAVE 48217739 MR 317', 'vaccine-unknown', ['GAVE 4821 7739 MR 2026-11-24 V 317']],
    ['GAVE 48217739 Penda', 'vaccine-unknown', ['GAVE 4821 7739 PENTA 2026-11-24']],
    ['GAVE 48217739 MR yestarday', 'vaccine-unknown', ['GAVE 4821 7739 MR 2026-11-23']],
  ])('%j asks: %s', (text, code, choices) => {
    expect(reading(text)).toMatchObject({ code, choices })
  })

  test('asks nothing where the schedule settles a shared name', () => {
    expect(reading('GAVE 48217739 measles polio', { vaccines: ['MR', 'BOPV', 'PENTA'] })).toMatchObject({
      vaccines: ['MR', 'BOPV'],
    })
  })

  test('asks about VAR in French, where it is measles to some and varicella to others', () => {
    expect(reading('DONNÉ 48217739 VAR', { language: 'fr' })).toMatchObject({
      code: 'vaccine-unclear',
      choices: ['DONNÉ 4821 7739 VARICELLA 2026-11-24', 'DONNÉ 4821 7739 MCV 2026-11-24'],
    })
  })
})

describe('several children in one text', () => {
  const first = { act: 'record-doses', card: '48217739', vaccines: ['BOPV'], date: '2026-11-24' }
  const second = { act: 'record-doses', card: '30951466', vaccines: ['PENTA'], date: '2026-11-24' }

  test.each([
    'GAVE 48217739 BOPV\nGAVE 30951466 PENTA',
    'GAVE 48217739 BOPV GAVE 30951466 PENTA',
    'GAVE 48217739 BOPV\n30951466 PENTA',
    'GAVE\n48217739 BOPV\n30951466 PENTA',
    'GAVE today\n48217739\nBOPV\n3095 1466\nPENTA',
    'GAVE 48217739 BOPV\nGAVE 30951466 PENTA\nGAVE 48217739 BOPV',
    '1) GAVE 48217739 BOPV\n2) GAVE 30951466 PENTA',
  ])('%j is two reports', (text) => {
    expect(reading(text)).toMatchObject({ act: 'several', acts: [first, second] })
    expect(reading(text)['acts']).toHaveLength(2)
  })

  test('a day in the first line is that of all', () => {
    expect(reading('GAVE yesterday\n48217739 BOPV\n30951466 PENTA')).toMatchObject({
      acts: [{ date: '2026-11-23' }, { date: '2026-11-23' }],
    })
  })

  test('a day beside one child is not guessed for the next', () => {
    expect(reading('GAVE 48217739 BOPV yesterday\n30951466 PENTA')).toMatchObject({
      code: 'date-missing',
      understood: { card: '30951466', acts: [{ card: '48217739' }] },
    })
  })

  test('different acts stand one below the other', () => {
    expect(reading('GAVE 48217739 BOPV\nCARD 30951466\nDUE Mbari')).toMatchObject({
      acts: [{ act: 'record-doses' }, { act: 'card-status' }, { act: 'due-list', village: 'Mbari' }],
    })
  })

  test('one bad line stops all, and the good ones are named', () => {
    expect(reading('GAVE 48217739 BOPV\nGAVE 30951467 PENTA')).toMatchObject({
      code: 'card-check-digit',
      word: '30951467',
      understood: { vaccines: ['PENTA'], acts: [{ card: '48217739' }] },
    })
  })
})

describe('GAVE in other languages', () => {
  test.each([
    ['fr', 'donné 4821 7739 vpo penta hier', ['BOPV', 'PENTA'], '2026-11-23'],
    ['fr', 'Donné 48217739 ROR', ['MMR'], '2026-11-24'],
    ['es', 'aplicado 48217739 pentavalente, gotas de polio ayer', ['PENTA', 'BOPV'], '2026-11-23'],
    ['es', 'APLIQUÉ 48217739 SRP', ['MMR'], '2026-11-24'],
    ['pt', 'apliquei 48217739 VOP tríplice viral anteontem', ['BOPV', 'MMR'], '2026-11-22'],
    ['sw', 'nimechanja 48217739 matone ya polio, surua rubella jana', ['BOPV', 'MR'], '2026-11-23'],
    ['hi', 'दिया ४८२१ ७७३९ ओपीवी पेंटा कल', ['BOPV', 'PENTA'], '2026-11-23'],
    ['hi', 'diya 48217739 opv kal', ['BOPV'], '2026-11-23'],
    ['ar', 'أعطيت ٤٨٢١٧٧٣٩ خماسي، قطرات شلل أمس', ['PENTA', 'BOPV'], '2026-11-23'],
    ['sw', 'GAVE 48217739 OPV yesterday', ['BOPV'], '2026-11-23'],
  ])('%s: %s', (language, text, vaccines, date) => {
    expect(reading(text, { language })).toMatchObject({
      act: 'record-doses',
      card: '48217739',
      vaccines,
      date,
    })
  })

  test('only those of the district are read, and English', () => {
    expect(reading('donné 48217739 BOPV', { language: 'sw' })).toMatchObject({ code: 'not-understood' })
    expect(reading('donné 48217739 BOPV', { language: 'sw', languages: ['fr'] })).toMatchObject({
      card: '48217739',
    })
  })
})
