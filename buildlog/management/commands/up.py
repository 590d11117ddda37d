"""Start the shop: `python3 manage.py up`."""

import signal
import threading

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from buildlog.config import env
from buildlog.config.serving import addresses, announce, certificates, firstrun, prepare, servers, trust
from buildlog.config.serving.plan import LOOPBACK, Plan, plan
from buildlog.config.setup import system
from buildlog.keeping import coming_back, schedule

LOOK_AROUND = 60  # seconds between looks whether the network gave this machine another address


class Command(BaseCommand):
    help = "Start the shop: bring its data up to date, serve it here and to phones, stop with Ctrl-C."

    def add_arguments(self, parser):
        parser.add_argument("--demo", action="store_true", help="Fill an empty shop with the demo shop.")
        # Taken before Django starts (env.take_flags); named here for --help and for a missing value.
        for option in env.OPTIONS:
            if option.flag and option.read is env.as_flag:
                parser.add_argument(option.flag, action="store_true", help=option.means)
            elif option.flag:
                parser.add_argument(option.flag, metavar=option.name, help=option.means)

    def handle(self, **options):
        self.stopped = threading.Event()
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
            signal.signal(number, lambda *_: self.stopped.set())
        prepare.data_folder()
        self.shop = certificates.Shop(settings.DATA_DIR / "tls")
        self.lan = addresses.lan_addresses()
        laid = self.lay_out()
        self.refuse_taken_ports(laid)
        coming_back.settle(self.stdout.write)
        prepare.database(self.stdout.write)
        prepare.static_files()
        self.renew_certificate(laid)
        self.serve(laid, options["demo"])

    def lay_out(self) -> Plan:
        return plan(settings, lan=self.lan, host=addresses.hostname(), cert=self.shop.cert_file, key=self.shop.key_file)

    def refuse_taken_ports(self, laid: Plan) -> None:
        for server in filter(None, (laid.desk, laid.phones, laid.trust)):
            if servers.taken(server):
                flag = env.BY_NAME[server.setting].flag
                raise CommandError(
                    f"Port {server.port} on {server.host} can't be had: another program (or another start of this "
                    f"shop) is using it. Stop that one, or choose another port: {flag} {server.port + 1}"
                )

    def renew_certificate(self, laid: Plan) -> bool:
        if not laid.trust:
            return False
        host = addresses.hostname()
        names = ["localhost", *([host, f"{host}.local", f"{host}.lan"] if host else [])]
        try:
            return self.shop.prepare(names, [LOOPBACK, *self.lan], host=host)
        except certificates.Unusable as wrong:
            raise CommandError(str(wrong)) from wrong

    def serve(self, laid: Plan, demo: bool) -> None:
        handing_out = None
        self.processes = [servers.Process(server) for server in laid.servers]
        threading.Thread(target=schedule.watch, args=[self.stopped], name="backups", daemon=True).start()
        try:
            told = firstrun.prepare(demo=demo, say=self.stdout.write)
            if laid.trust:
                page = trust.Page(self.shop, self.trust_names, laid.phones.port)
                handing_out = trust.serve(page, laid.trust.host, laid.trust.port)
            if not servers.wait_until_ready(self.processes, self.stopped):
                if self.stopped.is_set():
                    return
                raise CommandError("The shop did not come up; what its server said is above.")
            printing = "" if system.printing_available() else system.printing_hint()
            fingerprint = self.shop.fingerprint() if laid.trust else ""
            self.stdout.write("\n".join(announce.lines(laid, fingerprint=fingerprint, printing=printing, **told)))
            self.stdout.flush()
            self.watch(laid)
        finally:
            if handing_out:
                handing_out.shutdown()
                handing_out.server_close()
            servers.stop(self.processes)
        self.stdout.write("Gusset is down.")

    def trust_names(self) -> list[str]:
        host = addresses.hostname()
        return [*self.lan, *([host, f"{host}.local"] if host else []), "localhost", LOOPBACK]

    def watch(self, laid: Plan) -> None:
        """Until told to stop. A server that ends by itself ends the shop; a new address gets a certificate."""
        waited = 0.0
        while not self.stopped.wait(0.5):
            for one in self.processes:
                if not one.running:
                    raise CommandError(f"The server on port {one.server.port} ended by itself; see above.")
            if coming_back.asked():
                self.bring_back(laid)
            waited += 0.5
            if laid.trust and waited >= LOOK_AROUND:
                waited = 0.0
                self.follow_network(laid)

    def bring_back(self, laid: Plan) -> None:
        """The owner asked for a backup on the page: nothing may have the database open while it takes its place."""
        servers.stop(self.processes)
        coming_back.settle(self.stdout.write)
        self.processes = [servers.Process(server) for server in laid.servers]
        if not servers.wait_until_ready(self.processes, self.stopped) and not self.stopped.is_set():
            raise CommandError("The shop did not come up again; what its server said is above.")

    def follow_network(self, laid: Plan) -> None:
        self.lan = addresses.lan_addresses()
        if self.renew_certificate(laid):
            old = [one for one in self.processes if one.server == laid.phones]
            servers.stop(old)
            self.processes = [one for one in self.processes if one not in old] + [servers.Process(laid.phones)]
            self.stdout.write(f"This computer's address changed: phones now find it at {', '.join(self.lan)}.")
