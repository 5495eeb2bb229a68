import { signedIn, signIn, type SignedIn, type SignIn } from '@lintel/contract';
import { Body, Controller, Delete, Get, HttpCode, Inject, Post, Req, Res } from '@nestjs/common';
import { ApiOperation, ApiResponse, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { AllowSignedIn, CallerOf, Open, type Caller } from '../platform/access.js';
import { API_OPTIONS, type ApiOptions } from '../platform/options.js';
import { clearSessionCookie, setSessionCookie } from './cookie.js';
import { Sessions } from './sessions.js';
import { SignInService } from './signIn.service.js';

@ApiTags('people')
@Controller('session')
export class SessionController {
  private readonly secure: boolean;

  constructor(
    @Inject(SignInService) private readonly gate: SignInService,
    @Inject(Sessions) private readonly sessions: Sessions,
    @Inject(API_OPTIONS) options: ApiOptions,
  ) {
    this.secure = options.secureCookies ?? false;
  }

  @Post()
  @HttpCode(200)
  @Open()
  @ApiOperation({ summary: 'Sign in; the session is in a cookie', operationId: 'signIn' })
  @ApiResponse({ status: 200, standardSchema: signedIn })
  async signIn(
    @Body({ schema: signIn }) given: SignIn,
    @Req() request: FastifyRequest,
    @Res({ passthrough: true }) reply: FastifyReply,
  ): Promise<SignedIn> {
    const { token, account } = await this.gate.signIn(given, request.ip);
    setSessionCookie(reply, token, this.secure);
    return { account };
  }

  @Get()
  @AllowSignedIn()
  @ApiOperation({ summary: 'Who is signed in', operationId: 'getSession' })
  @ApiResponse({ status: 200, standardSchema: signedIn })
  async current(@CallerOf() caller: Caller): Promise<SignedIn> {
    return { account: await this.gate.describe(caller) };
  }

  @Delete()
  @HttpCode(204)
  @AllowSignedIn()
  @ApiOperation({ summary: 'Sign out', operationId: 'signOut' })
  @ApiResponse({ status: 204 })
  async signOut(@CallerOf() caller: Caller, @Res({ passthrough: true }) reply: FastifyReply): Promise<void> {
    await this.sessions.end(caller);
    clearSessionCookie(reply, this.secure);
  }
}
