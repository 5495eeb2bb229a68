import { listRoute, resource } from '../platform/resource/routes.js';
import { accounts, people } from './accounts.js';
import { SessionController } from './session.controller.js';
import { Sessions } from './sessions.js';
import { SignInService } from './signIn.service.js';
import { SignInThrottle } from './signInThrottle.js';

export const peopleRoom = {
  controllers: [SessionController, ...resource(accounts), listRoute(people)],
  providers: [Sessions, SignInService, SignInThrottle],
};
