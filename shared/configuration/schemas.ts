import { controllerSchema, engineSchema } from '../../generated/schemas.ts';
import type { FileKind } from './project.ts';
import { type Shape, shapeOf } from './shape.ts';

export const engineShape: Shape = shapeOf(engineSchema);
export const controllerShape: Shape = shapeOf(controllerSchema);

export function rootShape(kind: FileKind): Shape {
  return kind === 'engine' ? engineShape : controllerShape;
}
