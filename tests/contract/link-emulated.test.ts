import { emulatedRig } from './emulated-rig.ts';
import { linkContract } from './link-contract.ts';

linkContract('an emulated probe in the same process', async () => emulatedRig());
