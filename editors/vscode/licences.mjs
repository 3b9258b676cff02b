// Writes the licences of what is bundled into the extension, as they ask to go with it.

import { readdirSync, readFileSync, writeFileSync } from 'node:fs'

const { inputs } = JSON.parse(readFileSync('dist/inputs.json', 'utf8'))
const folders = Object.keys(inputs).map(input => input.match(/^.*node_modules\/(@[^/]+\/)?[^/]+/)?.[0])
const texts = [...new Set(folders.filter(Boolean))].sort().map(folder => {
  const { name, version } = JSON.parse(readFileSync(`${folder}/package.json`, 'utf8'))
  const licence = readdirSync(folder).find(file => /^licen[cs]e(\.|$)/i.test(file))
  if (!licence) throw new Error(`${folder} has no licence: see whether it may be bundled`)
  return `${name} ${version}\n\n${readFileSync(`${folder}/${licence}`, 'utf8').trim()}\n`
})
writeFileSync('dist/licences.txt', texts.join(`\n${'-'.repeat(72)}\n\n`))
