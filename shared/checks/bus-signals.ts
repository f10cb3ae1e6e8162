import type { BusMessage } from '../../generated/configuration.ts';
import { type Engine, type Installation } from '../configuration/installation.ts';
import { nodeOf } from '../configuration/values.ts';
import { dataBits, messagesOf, placeOf, signalHighest, signalLowest, signalResolution, signalsOf, type NamedSignal, codingOf, dimensionIn } from '../derived/bus-signals.ts';
