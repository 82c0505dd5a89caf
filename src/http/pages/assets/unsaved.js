// Asks before a page is left on which something was typed and not sent.
let isUnsaved = false
for (const form of document.querySelectorAll('form[method="post"]')) {
  form.addEventListener('input', () => (isUnsaved = true))
  form.addEventListener('submit', () => (isUnsaved = false))
}
addEventListener('beforeunload', (event) => {
  if (isUnsaved) event.preventDefault()
})
