import type { Family } from './check.ts';
import { mergeConflict } from './form-conflict.ts';
import {
  controllerFileMissing,
  overlayCycle,
  overlayFileMissing,
  overlayKeyWithoutBase,
} from './form-links.ts';
import { axisOfWrongQuantity, quantityUnknown } from './form-names.ts';
import { missingKey, unknownKey, versionUnsupported } from './form-structure.ts';
import { duplicateKey, syntaxError, tabIndentation, textNotUtf8, unusedAnchor } from './form-text.ts';
import { toleranceInvalid } from './form-tolerances.ts';
import { rangeReversed, wrongType } from './form-types.ts';
import { pressureReferenceMissing, unitMissing, unitOfWrongKind, unitUnknown } from './form-units.ts';
import { unusualValue } from './form-unusual.ts';
import { suspiciousMagnitude, valueOutOfPhysicalRange } from './form-values.ts';

export const form: Family = {
  id: 'form',
  title: 'Form and units',
  checks: [
    textNotUtf8,
    mergeConflict,
    syntaxError,
    tabIndentation,
    duplicateKey,
    unusedAnchor,
    versionUnsupported,
    unknownKey,
    missingKey,
    wrongType,
    quantityUnknown,
    axisOfWrongQuantity,
    unitMissing,
    unitUnknown,
    unitOfWrongKind,
    pressureReferenceMissing,
    rangeReversed,
    toleranceInvalid,
    valueOutOfPhysicalRange,
    suspiciousMagnitude,
    unusualValue,
    overlayFileMissing,
    overlayCycle,
    overlayKeyWithoutBase,
    controllerFileMissing,
  ],
};
