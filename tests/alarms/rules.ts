import { alarmId, type AlarmRule } from '../../daemon/alarms/rule.js'
import { signalName } from '../../daemon/readings/signal.js'
import { minutes, seconds } from '../../daemon/units/time.js'

/** An oxygen alarm as a farm would have it; say only what matters. */
export const oxygenLow = (change: Partial<AlarmRule> = {}): AlarmRule => ({
  id: alarmId('oxygen-low', 'tank-1'),
  rule: 'oxygen-low',
  about: 'tank-1',
  place: 'tank-1',
  condition: { kind: 'below', signal: signalName('tank-1', 'dissolved_oxygen'), limit: 4.5, deadband: 0.4 },
  onDelay: minutes(2),
  offDelay: minutes(3),
  priority: 'high',
  priorityFrom: { kind: 'built-in' },
  ladder: 'night',
  latching: false,
  followUpDelay: seconds(60),
  reAlarm: null,
  lifeSupport: true,
  lesserOf: null,
  suppressedWhile: [],
  releaseDelay: seconds(0),
  causes: [],
  cause: null,
  consequence: null,
  response: null,
  origin: 'farm',
  ...change,
})
