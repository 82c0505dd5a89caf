// A phone on a page: sends and shows texts, dials the menu and answers its screens.
const byId = (id) => document.getElementById(id)
const who = byId('who')
// The same page stands at /phone and as the practice page of a district.
const here = location.pathname

async function post(path, body) {
  const headers = { 'content-type': 'application/json' }
  const answer = await fetch(path, { method: 'POST', headers, body: JSON.stringify(body) })
  return answer.json()
}

function textItem({ body, at, isMine }) {
  const item = document.createElement('li')
  if (isMine) item.className = 'mine'
  item.textContent = body
  const when = document.createElement('small')
  when.textContent = at.slice(0, 16).replace('T', ' ')
  item.append(when)
  return item
}

let shown = ''
async function refresh() {
  const number = who.value
  const answer = await fetch(`${here}/thread?number=${encodeURIComponent(number)}`)
  const thread = await answer.text()
  // An answer that comes after another phone was taken up is not of that phone.
  if (number !== who.value || number + thread === shown) return
  shown = number + thread
  byId('texts').replaceChildren(...JSON.parse(thread).map(textItem))
  byId('texts').dataset.number = number
  byId('texts').scrollTop = byId('texts').scrollHeight
}

/** Shows the examples of the role whose phone it is, and an empty menu. */
function takePhone() {
  const { role } = who.selectedOptions[0].dataset
  for (const example of document.querySelectorAll('[data-example]'))
    example.hidden = example.dataset.role !== role
  byId('screen').textContent = ''
  refresh()
}

who.addEventListener('change', takePhone)

byId('write').addEventListener('submit', async (event) => {
  event.preventDefault()
  const body = byId('body').value
  if (body.trim() === '') return
  byId('body').value = ''
  await post(`${here}/text`, { from: who.value, body })
  await refresh()
})

for (const example of document.querySelectorAll('[data-example]')) {
  example.addEventListener('click', () => {
    byId('body').value = example.dataset.example
    byId('body').focus()
  })
}

function showScreen({ text, ends }) {
  byId('screen').textContent = ends ? `${text}\n\n(The dialogue has ended.)` : text
}

byId('dial').addEventListener('click', async () =>
  showScreen(await post(`${here}/dial`, { from: who.value })),
)

byId('keys').addEventListener('submit', async (event) => {
  event.preventDefault()
  const typed = byId('typed').value
  byId('typed').value = ''
  showScreen(await post(`${here}/press`, { from: who.value, typed }))
})

setInterval(refresh, 1000)
takePhone()
