import { farmFromText } from '../../daemon/cli/load-farm.js'

/** A farm of one probe without tests, whose signal plans tests may change. */
export const planOf = farmFromText({
  text: `
farm: { name: Larkfield, time_zone: Europe/London }
places: [ { id: tank-1, kind: tank } ]
probes: [ { signal: tank-1/dissolved_oxygen, topic: larkfield/tank1/do, unit: mg/L, every: 30 s } ]
`,
  file: 'one-probe.yaml',
  env: {},
  readFile: (name) => {
    throw new Error(`${name} is not to be read here`)
  },
}).plan
