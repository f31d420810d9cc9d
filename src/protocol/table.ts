// Made by firmware-protocol/generate.ts from messages.json. Do not edit: run `npm run generate`.
// biome-ignore-all format: made by a program, read by programs

/** Version this host speaks. */
export const protocolVersion = {
  major: 1,
  minor: 1
} as const;

/** SLIP bytes (RFC 1055) and payload sizes in bytes. */
export const frameTable = {
  end: 192,
  esc: 219,
  escEnd: 220,
  escEsc: 221,
  maxPayloadBytes: 64,
  maxRequestBytes: 44,
  crc: {
    poly: "0x1021",
    init: "0xffff",
    order: "big-endian, over type, seq and body"
  }
} as const;

/** Line speed in baud, 8N1. */
export const baudRate = 500000 as const;

/** Set in the type of an answer. */
export const answerBit = 128 as const;

/** Requests: type code, fields of the body, fields of the answer after its status byte. */
export const requestTable = {
  hello: {
    type: 1,
    fields: [
      [
        "hostMajor",
        "u8"
      ],
      [
        "hostMinor",
        "u8"
      ]
    ],
    answer: [
      [
        "protoMajor",
        "u8"
      ],
      [
        "protoMinor",
        "u8"
      ],
      [
        "fwMajor",
        "u8"
      ],
      [
        "fwMinor",
        "u8"
      ],
      [
        "fwBuild",
        "u32"
      ],
      [
        "probeSerial",
        "u32"
      ],
      [
        "capabilities",
        "u32"
      ],
      [
        "resetCause",
        "u8"
      ],
      [
        "bootCount",
        "u32"
      ],
      [
        "clockUs",
        "u32"
      ],
      [
        "maxPayload",
        "u8"
      ]
    ]
  },
  start: {
    type: 2,
    fields: [
      [
        "rate",
        "u8"
      ],
      [
        "batch",
        "u8"
      ]
    ],
    answer: [
      [
        "periodUs",
        "u16"
      ]
    ]
  },
  stop: {
    type: 3,
    fields: [],
    answer: []
  },
  mode: {
    type: 4,
    fields: [
      [
        "mode",
        "u8"
      ],
      [
        "level",
        "u8"
      ],
      [
        "range",
        "u8"
      ],
      [
        "input",
        "u8"
      ]
    ],
    answer: [
      [
        "range",
        "u8"
      ]
    ]
  },
  bridge: {
    type: 5,
    fields: [
      [
        "durationMs",
        "u16"
      ]
    ],
    answer: []
  },
  keepAlive: {
    type: 6,
    fields: [],
    answer: [
      [
        "clockUs",
        "u32"
      ]
    ]
  },
  tone: {
    type: 7,
    fields: [
      [
        "frequencyHz",
        "u16"
      ],
      [
        "durationMs",
        "u16"
      ]
    ],
    answer: []
  },
  calRead: {
    type: 8,
    fields: [
      [
        "offset",
        "u16"
      ],
      [
        "count",
        "u8"
      ]
    ],
    answer: [
      [
        "offset",
        "u16"
      ],
      [
        "data",
        "bytes"
      ]
    ]
  },
  calWrite: {
    type: 9,
    fields: [
      [
        "offset",
        "u16"
      ],
      [
        "data",
        "bytes"
      ]
    ],
    answer: [
      [
        "offset",
        "u16"
      ],
      [
        "count",
        "u8"
      ]
    ]
  },
  counters: {
    type: 10,
    fields: [],
    answer: [
      [
        "readingsLost",
        "u16"
      ],
      [
        "rxOverruns",
        "u16"
      ],
      [
        "badFrames",
        "u16"
      ],
      [
        "crcErrors",
        "u16"
      ],
      [
        "refusals",
        "u16"
      ],
      [
        "watchdogResets",
        "u16"
      ],
      [
        "tipEdges",
        "u16"
      ],
      [
        "bridgeCloses",
        "u16"
      ],
      [
        "liveTrips",
        "u16"
      ]
    ]
  },
  echo: {
    type: 11,
    fields: [
      [
        "data",
        "bytes"
      ]
    ],
    answer: [
      [
        "data",
        "bytes"
      ]
    ]
  },
  setSerial: {
    type: 12,
    fields: [
      [
        "probeSerial",
        "u32"
      ]
    ],
    answer: []
  }
} as const;

/** What the probe sends unasked: type code and fields. */
export const noticeTable = {
  readings: {
    type: 64,
    fields: [
      [
        "index",
        "u16"
      ],
      [
        "tUs",
        "u32"
      ],
      [
        "periodUs",
        "u16"
      ],
      [
        "range",
        "u8"
      ],
      [
        "flags",
        "u16"
      ],
      [
        "lost",
        "u8"
      ],
      [
        "edges",
        "u16"
      ],
      [
        "codes",
        "u16s"
      ]
    ]
  },
  event: {
    type: 65,
    fields: [
      [
        "code",
        "u8"
      ],
      [
        "tUs",
        "u32"
      ],
      [
        "arg",
        "u16"
      ]
    ]
  },
  boot: {
    type: 66,
    fields: [
      [
        "protoMajor",
        "u8"
      ],
      [
        "protoMinor",
        "u8"
      ],
      [
        "resetCause",
        "u8"
      ],
      [
        "bootCount",
        "u32"
      ]
    ]
  }
} as const;

/** Status codes of an answer, with what each means. */
export const statusTable = {
  ok: {
    code: 0,
    help: "done"
  },
  unknownType: {
    code: 1,
    help: "the probe does not know this request: its protocol is older than the host's"
  },
  badLength: {
    code: 2,
    help: "the body is shorter or longer than this request's fields"
  },
  badValue: {
    code: 3,
    help: "a field is outside its range"
  },
  live: {
    code: 4,
    help: "there is a voltage on the tips: excitation refused"
  },
  overVoltage: {
    code: 5,
    help: "the voltage on the tips is above what a bridge may close"
  },
  wrongMode: {
    code: 6,
    help: "not in this mode: a bridge needs voltage mode, with the excitation off"
  },
  busy: {
    code: 7,
    help: "a bridge is closed, or an EEPROM write is under way"
  },
  notAllowed: {
    code: 8,
    help: "refused for good: the serial number is set already"
  },
  writeFailed: {
    code: 9,
    help: "the EEPROM did not read back what was written"
  },
  wrongVersion: {
    code: 10,
    help: "the host speaks another major version"
  }
} as const;

/** Field values by name. */
export const enumTable = {
  mode: {
    off: 0,
    resistance: 1,
    voltage: 2
  },
  level: {
    normal: 0,
    dry: 1
  },
  input: {
    tips: 0,
    short: 1,
    check: 2,
    open: 3
  },
  rate: {
    precise: 0,
    standard: 1,
    fast: 2
  },
  rangeAuto: {
    auto: 255
  },
  event: {
    buttonDown: 1,
    buttonUp: 2,
    liveOn: 3,
    liveOff: 4,
    bridgeClosed: 5,
    bridgeOpened: 6,
    excitationOff: 7,
    heartbeatLost: 8,
    readingsLost: 9,
    lightChanged: 10
  },
  bridgeOpenReason: {
    timeUp: 1,
    request: 2,
    heartbeat: 3,
    overVoltage: 4
  },
  excitationOffReason: {
    request: 1,
    live: 2,
    heartbeat: 3
  },
  resetCause: {
    powerOn: 1,
    external: 2,
    brownOut: 4,
    watchdog: 8
  }
} as const;

/** Bits of the readings flags. */
export const flagBits = {
  inputLow: 1,
  inputHigh: 2,
  dry: 4,
  excitation: 8,
  voltage: 16,
  bridge: 32,
  live: 64,
  seatA: 128,
  seatB: 256,
  auto: 512,
  over: 1024
} as const;

/** Bits of the hello capabilities. */
export const capabilityBits = {
  dryLevel: 1,
  bridge: 2,
  seatSense: 4,
  tone: 8,
  edgeCounter: 16,
  checkResistor: 32,
  lightSensor: 64
} as const;

/** Measuring ranges: source resistor in ohm and gain at each level (0: level not offered). */
export const rangeTable = [
  {
    id: 0,
    sourceOhm: 10,
    gainNormal: 200,
    gainDry: 0,
    note: "normal level only"
  },
  {
    id: 1,
    sourceOhm: 10,
    gainNormal: 20,
    gainDry: 200
  },
  {
    id: 2,
    sourceOhm: 1000,
    gainNormal: 20,
    gainDry: 200
  },
  {
    id: 3,
    sourceOhm: 33000,
    gainNormal: 20,
    gainDry: 200
  },
  {
    id: 4,
    sourceOhm: 1000000,
    gainNormal: 20,
    gainDry: 200
  }
] as const;

/** Nominal front end: volts, ohms, converter codes. */
export const frontEndTable = {
  referenceVolt: 5,
  openNormalVolt: 0.2,
  openDryVolt: 0.02,
  converterCodes: 1024,
  sumOf: 16,
  liveZeroVolt: 0.1,
  voltageDivider: 8,
  voltageMidVolt: 2.5,
  checkResistorOhm: 100
} as const;

/** Reading rates: converter clock divider and reading period in microseconds. */
export const rateTable = {
  precise: {
    adcPrescaler: 128,
    periodUs: 1768
  },
  standard: {
    adcPrescaler: 64,
    periodUs: 884
  },
  fast: {
    adcPrescaler: 32,
    periodUs: 442
  }
} as const;

/** Limits of field values, in the unit of the name. */
export const limitTable = {
  batchMax: 16,
  bridgeMaxMs: 2000,
  bridgeMaxVolt: 6,
  liveBeforeVolt: 0.06,
  liveDuringVolt: 0.3,
  liveHighCode: 16000,
  liveLowCode: 64,
  lightStepCodes: 24,
  lightFittedCode: 16,
  toneMaxMs: 2000,
  toneMinHz: 100,
  toneMaxHz: 5000,
  calibrationBytes: 512,
  dataMaxBytes: 32
} as const;

/** How often something is done, and by whom. */
export const countTable = {
  answerTries: {
    count: 4,
    who: "host",
    help: "sends of one request before the link counts as broken"
  }
} as const;

/** Time-outs in milliseconds, and whose they are. */
export const timeoutTable = {
  answer: {
    ms: 300,
    who: "host",
    help: "no answer to a request: send the same frame again"
  },
  helloAfterOpen: {
    ms: 2500,
    who: "host",
    help: "opening may reset the board and start its boot loader: HELLO is sent every answer time-out until then"
  },
  silence: {
    ms: 1500,
    who: "host",
    help: "no frame at all while streaming: the link counts as broken"
  },
  keepAlive: {
    ms: 100,
    who: "host",
    help: "by the probe's clock: while streaming, a request at least this often"
  },
  bridgeHeartbeat: {
    ms: 500,
    who: "probe",
    help: "no valid request for this long: a closed bridge opens"
  },
  heartbeat: {
    ms: 3000,
    who: "probe",
    help: "no valid request for this long: excitation off and streaming stopped"
  },
  watchdog: {
    ms: 250,
    who: "probe",
    help: "the main loop stands still for this long: hardware reset, everything off"
  },
  flush: {
    ms: 8,
    who: "probe",
    help: "a part batch older than this is sent"
  },
  buttonDebounce: {
    ms: 20,
    who: "probe",
    help: "button level stable for this long"
  },
  buttonLong: {
    ms: 700,
    who: "host",
    help: "a press at least this long is a long press"
  },
  lightPause: {
    ms: 8,
    who: "probe",
    help: "between two lightChanged events at least"
  },
  rangeBlank: {
    ms: 2,
    who: "probe",
    help: "readings dropped after a change to the 1 Mohm range; other ranges drop one reading"
  }
} as const;
