import { expect, it } from 'vitest'
import { pointerPath, valueAt } from '../../daemon/decoding/json-pointer.js'

// The document and all pointers of RFC 6901, section 5.
const document = {
  foo: ['bar', 'baz'],
  '': 0,
  'a/b': 1,
  'c%d': 2,
  'e^f': 3,
  'g|h': 4,
  'i\\j': 5,
  'k"l': 6,
  ' ': 7,
  'm~n': 8,
}

it.each([
  ['', document],
  ['/foo', ['bar', 'baz']],
  ['/foo/0', 'bar'],
  ['/', 0],
  ['/a~1b', 1],
  ['/c%d', 2],
  ['/e^f', 3],
  ['/g|h', 4],
  ['/i\\j', 5],
  ['/k"l', 6],
  ['/ ', 7],
  ['/m~0n', 8],
])('RFC 6901 section 5: %j', (pointer, value) => {
  expect(valueAt(document, pointerPath(pointer, 'here'))).toEqual(value)
})

it.each(['/foo/2', '/foo/00', '/foo/-', '/foo/length', '/nothing', '/foo/0/0'])(
  '%j points at nothing',
  (pointer) => {
    expect(valueAt(document, pointerPath(pointer, 'here'))).toBeUndefined()
  },
)

it('reads ~01 as ~1 (RFC 6901, section 4)', () => {
  expect(pointerPath('/~01', 'here')).toEqual(['~1'])
})
