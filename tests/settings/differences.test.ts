import { describe, expect, it } from 'vitest'
import { differences } from '../../daemon/settings/differences.js'
import { farm, loaded } from './loading.js'

const of = (before: string, now: string) => differences(loaded(farm + before), loaded(farm + now))

describe('differences', () => {
  it('are shown as they were written', () => {
    expect(
      of(
        'alarms: [{ id: a, signal: t/ph, below: 6, on_delay: 2 min }]',
        'alarms: [{ id: a, signal: t/ph, below: 6.5, on_delay: 3 min }]',
      ),
    ).toEqual([
      { path: 'alarms.a.below', old: '6', new: '6.5' },
      { path: 'alarms.a.on_delay', old: '2 min', new: '3 min' },
    ])
  })

  it('do not care how a value is written', () => {
    expect(of('store: { commit: 1000 ms }', 'store: { commit: 1 s }')).toEqual([])
    expect(of('', 'shelving: { maximum: 240 min }')).toEqual([])
  })

  it('tell defaults from what is said', () => {
    expect(of('', 'shelving: { maximum: 2 h }')).toEqual([
      { path: 'shelving.maximum', old: 'default', new: '2 h' },
    ])
  })

  it('follow entries by their name, not their place', () => {
    expect(
      of(
        'places: [{ id: tank-1, kind: tank }]',
        'places: [{ id: tank-0, kind: tank }, { id: tank-1, kind: tank }]',
      ),
    ).toEqual([
      { path: 'places.tank-0.id', old: null, new: 'tank-0' },
      { path: 'places.tank-0.kind', old: null, new: 'tank' },
    ])
  })

  it('of a configuration and itself are none', () => {
    const text = 'flood: off\nladders: { night: { steps: [{ call: everyone, by: [text] }] } }'
    expect(of(text, text)).toEqual([])
  })

  it('show variables by name', () => {
    const old = loaded(`${farm}store: { folder: "\${F}" }`, { env: { F: 'abracadabra' } })
    const now = loaded(`${farm}store: { folder: "\${F}" }`, { env: { F: 'sesame' } })
    expect(differences(old, now)).toEqual([{ path: 'store.folder', old: '${F}', new: '${F}' }])
  })
})
