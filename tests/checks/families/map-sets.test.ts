import { testFamily } from '../family.ts';

testFamily('map-sets');
