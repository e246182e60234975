import { describe, expect, it } from 'vitest'
import { covers, filterFlaw, filterMatches, minimalFilters } from '../../daemon/decoding/topic.js'

describe('topic filters', () => {
  // MQTT 5.0, 4.7.1.2 and 4.7.1.3: the examples of the standard.
  it.each([
    ['sport/tennis/player1/#', 'sport/tennis/player1', true],
    ['sport/tennis/player1/#', 'sport/tennis/player1/ranking', true],
    ['sport/tennis/player1/#', 'sport/tennis/player1/score/wimbledon', true],
    ['sport/#', 'sport', true],
    ['#', 'a/b', true],
    ['sport/tennis/+', 'sport/tennis/player1', true],
    ['sport/tennis/+', 'sport/tennis/player1/ranking', false],
    ['sport/+', 'sport', false],
    ['sport/+', 'sport/', true],
    ['+/+', '/finance', true],
    ['/+', '/finance', true],
    ['+', '/finance', false],
    ['#', '$SYS/x', false],
    ['+/monitor/Clients', '$SYS/monitor/Clients', false],
    ['$SYS/#', '$SYS/x', true],
  ])('%s and %s: %s', (filter, topic, matches) => {
    expect(filterMatches(filter, topic)).toBe(matches)
  })

  it.each([
    ['sport/tennis#', '+ and # must fill a whole level'],
    ['sport/tennis/#/ranking', '# may only be the last level'],
    ['sport+', '+ and # must fill a whole level'],
    ['', 'the topic is empty'],
  ])('%j is none: %s', (filter, flaw) => {
    expect(filterFlaw(filter)).toBe(flaw)
  })

  it('cover one another', () => {
    expect(covers('a/+', 'a/b')).toBe(true)
    expect(covers('a/+', 'a/#')).toBe(false)
    expect(covers('a/#', 'a/+/c')).toBe(true)
    expect(covers('a/b', 'a/+')).toBe(false)
  })

  it('are kept only as far as needed', () => {
    expect(minimalFilters(['a/b', 'a/+', 'b', 'a/+', 'c/#', 'c', 'c/d/+'])).toEqual(['a/+', 'b', 'c/#'])
  })
})
