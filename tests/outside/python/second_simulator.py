"""A second simulator of a dish-room line, to hold the first one against.

It plays evenings of a commercial dish room: guests' plates reach a drop-off in lots,
are scraped, racked, washed on a conveyor, drained on a landing and unloaded, by
operators who choose what to do next from a list of duties.  Its lines are known by
name (LINES below); for each the program plays many evenings and prints the mean and
the standard deviation of every measure as JSON.

The program was written from a description of the line in words.  It shares no code
and no random numbers with the program it checks, so the two can agree only in
distribution: compare them by statistics, never evening by evening.

    python second_simulator.py plain-line rewash --replications 1000 --seed 1

Needs Python 3.10 or newer and simpy 4.  Times are in seconds from opening.
"""

import argparse
import json
import math
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from multiprocessing import Pool
from random import Random

import simpy

CLOSING = 3 * 3600
LOT = 5  # plates reaching the drop-off together
SCRAPE_BATCH = 10  # the most plates taken up for one scraping
RACK = 10  # plates in a full rack
PATIENCE = 600  # a scraped plate that waited so long sets off in a part-filled rack
LANE = 2  # racks in the machine's entry lane
PITCH = 25  # belt movement between two entries, in seconds of a moving belt
TUB = 20  # plates
TABLE_PATIENCE = 180  # a plate that waited so long on the tables sets off in a part-filled tub
TRIP = 60  # mean of a trip with a tub
TRANSIT = 100  # belt movement from entry to far end, likewise
MOVE = 6  # mean time to move a rack from the landing to a dolly

# What happens in one moment happens in this order.  Work that ends comes first (simpy
# gives it priority 1).  Then a rack at the far end finds out whether it may leave,
# because it, and only it, can stop the belt; then a rack may enter; and when all that
# is settled the crew looks up and chooses.
BELT_OUT, BELT_IN, CREW = 2, 3, 4

# Whole belt times make true ties: on a full belt one rack reaches the far end in the
# very moment another may enter.  All times are therefore multiples of this power of
# two (about a microsecond), which floating point adds and subtracts without error.
TICK = 2.0**-20

WASHED_BEFORE = None  # stands for a plate sent back; a new plate is its arrival time

Factor = Callable[[Random], float]  # draws what a working time is multiplied with


def lognormal(cv: float) -> Factor:
    """A lognormal factor with mean 1 and the given coefficient of variation."""
    variance = math.log(1 + cv * cv)
    return lambda random: random.lognormvariate(-variance / 2, math.sqrt(variance))


def gamma(cv: float) -> Factor:
    """A gamma factor with mean 1 and the given coefficient of variation."""
    return lambda random: random.gammavariate(1 / (cv * cv), cv * cv)


def exponential(random: Random) -> float:
    """An exponential factor with mean 1."""
    return random.expovariate(1)


@dataclass(frozen=True)
class Help:
    """Somebody who is called once, in the course of the evening."""

    duties: tuple[str, ...]
    once_waiting: int  # soiled plates that wait, from which on they are called
    comes_after: int  # seconds from the call
    stays_at_least: int  # seconds
    goes_below: int  # soiled plates that wait, below which they may go after that


@dataclass(frozen=True)
class Line:
    """What distinguishes one line from another."""

    plates: int  # mean number in an evening
    racks: int = 60
    landing: int = 6  # racks
    drain: int = 20  # seconds a rack stands after the machine before it may be unloaded
    dollies: int = 0  # racks that may be parked on them
    crew: tuple[tuple[str, ...], ...] = (("scrape",), ("load",), ("unload",))
    places: int = 1  # to scrape at, to load at and to unload at: so many of each
    scrape_factor: Factor = lognormal(0.5)
    load_factor: Factor = gamma(0.5)
    unload_factor: Factor = exponential
    dirty: float = 0.0  # chance that a plate leaves a pass through the machine dirty
    caught: float = 0.0  # chance that inspection sees it
    help: Help | None = None  # behind the crew in the roster
    first_lot: int = 0  # seconds from opening to when lots begin to come
    tubs: int = 0  # bring lots from the tables; 0: lots come to the drop-off by themselves


LINES = {
    "plain-line": Line(plates=2700),
    "short-table": Line(plates=2700, landing=2, unload_factor=lognormal(0.3)),
    "shared-crew": Line(
        plates=1800,
        crew=(("scrape", "load", "unload"), ("unload", "load", "scrape")),
        places=2,
    ),
    "few-racks": Line(plates=2700, racks=7),
    "rewash": Line(plates=2100, dirty=0.15, caught=0.8),
    "parked-racks": Line(
        plates=2700,
        racks=9,
        landing=2,
        drain=60,
        dollies=4,
        unload_factor=lognormal(0.3),
    ),
    "tubs-and-help": Line(
        plates=2400,
        first_lot=1200,
        tubs=6,
        crew=(("load", "scrape"), ("unload",)),
        places=2,
        help=Help(("scrape", "load"), 60, 600, 1800, 20),
    ),
}


def on_tick(seconds: float) -> float:
    """The time on the clock's grid nearest to this one."""
    return round(seconds / TICK) * TICK


def lot_moments(random: Random, mean_lots: float, first: float) -> list[float]:
    """The moments of a Poisson process up to closing."""
    moments, moment = [], first
    rate = mean_lots / (CLOSING - first)
    while (moment := moment + random.expovariate(rate)) < CLOSING:
        moments.append(on_tick(moment))
    return moments


def take(queue: deque, most: int) -> list:
    """Remove up to so many from the head of the queue."""
    return [queue.popleft() for _ in range(min(most, len(queue)))]


def signal(event: simpy.Event) -> None:
    """Wake whoever waits for the event; nothing if they have been woken already."""
    if not event.triggered:
        event.succeed()


class Moment(simpy.Event):
    """A timeout with a place in the order of the things that happen in its moment."""

    def __init__(self, env: simpy.Environment, delay: float, order: int):
        super().__init__(env)
        self._ok, self._value = True, None  # as a simpy.Timeout: it cannot fail
        env.schedule(self, order, delay)


class Evening:
    """One evening on one line."""

    def __init__(self, line: Line, random: Random):
        self.line, self.random = line, random
        self.env = simpy.Environment()

        self.lots = lot_moments(random, line.plates / LOT, line.first_lot)
        self.lots_to_come = len(self.lots)
        self.on_tables = deque()  # since when each plate has waited for a tub
        self.tubs_on_way = 0
        self.tubs_standing = deque()  # plates still in each
        self.drop_off = deque()  # plates
        self.sent_back = deque()  # plates at the drop-off for another time
        self.scraped = deque()  # (plate, since when it has waited for a rack)
        self.filled = deque()  # racks on loading stations, in the order of filling
        self.lane = deque()  # racks
        self.in_machine = deque()  # (belt clock at entry, rack)
        self.landed = deque()  # (time of landing, rack) not yet taken up
        self.parked = deque()  # the same, on dollies

        self.free_scraping_places = line.places
        self.free_stations = line.places
        self.free_unloading_places = line.places
        self.free_landing_places = line.landing
        self.free_dollies = line.dollies
        self.empty_racks = line.racks

        self.next_entry = -math.inf  # on the belt clock
        self.stopped_since = None  # None while the belt moves
        self.rack_in_lane = self.env.event()
        self.rack_in_machine = self.env.event()
        self.belt_goes_on = self.env.event()

        self.duties = {
            "scrape": (self.can_scrape, self.scrape),
            "load": (self.can_load, self.load),
            "unload": (self.can_unload, self.unload),
        }
        self.lists = line.crew + ((line.help.duties,) if line.help else ())
        self.free_operators = set(range(len(line.crew)))
        self.about_to_choose = False
        self.help_is = "at home" if line.help else "not there"
        self.help_came = self.help_left = None

        self.waits = []  # of every plate, from drop-off to its first entry
        self.soiled_waiting = self.soiled_waiting_max = 0
        self.racks_entered = self.racks_waiting_max = 0
        self.belt_stood = self.busy = 0.0
        self.last_rack_out = self.last_unloading_end = 0.0
        self.inspected = self.plates_out = self.soiled_out = 0

    def play(self) -> dict[str, float]:
        """Run until nothing is left to happen, and measure."""
        for process in self.guests(), self.machine_entry(), self.machine_exit():
            self.env.process(process)
        self.env.run()
        if self.plates_out != LOT * len(self.lots):
            raise RuntimeError("plates were left in the room")
        return self.measures()

    # Guests' ware

    def guests(self):
        for moment in self.lots:
            yield self.env.timeout(moment - self.env.now)
            self.lots_to_come -= 1
            if self.line.tubs:
                self.on_tables.extend([moment] * LOT)
                self.env.timeout(TABLE_PATIENCE).callbacks.append(self.send_tubs)
                self.send_tubs()
            else:
                self.put_down(LOT)
            self.look_around()

    def put_down(self, plates):
        self.drop_off.extend([self.env.now] * plates)
        self.soiled_waiting += plates
        self.soiled_waiting_max = max(self.soiled_waiting_max, self.soiled_waiting)

    # Tubs

    def send_tubs(self, _event=None):
        """Floor staff walk with every tub that is full, or has waited, while one is free."""
        while self.on_tables and self.tubs_on_way + len(self.tubs_standing) < self.line.tubs:
            is_due = (
                len(self.on_tables) >= TUB
                or self.env.now - self.on_tables[0] >= TABLE_PATIENCE
                or not self.lots_to_come
            )
            if not is_due:
                break
            self.tubs_on_way += 1
            self.env.process(self.trip(len(take(self.on_tables, TUB))))

    def trip(self, plates):
        yield self.env.timeout(on_tick(TRIP * lognormal(0.4)(self.random)))
        self.tubs_on_way -= 1
        self.tubs_standing.append(plates)
        self.put_down(plates)
        self.look_around()

    def empty_tubs(self, plates):
        """So many plates were taken from the tubs, first come first."""
        while plates and self.tubs_standing:
            taken = min(plates, self.tubs_standing[0])
            self.tubs_standing[0] -= taken
            plates -= taken
            if not self.tubs_standing[0]:
                self.tubs_standing.popleft()
        self.send_tubs()

    # The crew

    def look_around(self, _event=None):
        """Have the crew choose when everything else of this moment is done."""
        if not self.about_to_choose:
            self.about_to_choose = True
            Moment(self.env, 0, CREW).callbacks.append(self.choose)

    def look_around_in(self, seconds):
        self.env.timeout(seconds).callbacks.append(self.look_around)

    def choose(self, _event):
        """Let one operator start, and look again once they have taken up their work.

        The best ranked of all ready duties goes first, then the roster's order.
        """
        self.about_to_choose = False
        self.look_for_help()
        choices = [
            (rank, operator, duty)
            for operator in self.free_operators
            for rank, duty in enumerate(self.lists[operator])
            if self.duties[duty][0]()
        ]
        if choices:
            _rank, operator, duty = min(choices)
            self.free_operators.remove(operator)
            self.env.process(self.on_duty(operator, duty))
            self.look_around()

    def on_duty(self, operator, duty):
        yield from self.duties[duty][1]()
        self.free_operators.add(operator)
        if self.help_is == "going" and operator == len(self.line.crew):
            self.help_goes()
        self.look_around()

    # Help

    def look_for_help(self):
        """Call help when much waits, up to closing; send it home when little does."""
        help = self.line.help
        if self.help_is == "at home" and self.env.now < CLOSING:
            if self.soiled_waiting >= help.once_waiting:
                self.help_is = "called"
                self.env.process(self.help_comes())
        elif self.help_is == "free to go" and self.soiled_waiting < help.goes_below:
            self.help_is = "going"
            if len(self.line.crew) in self.free_operators:
                self.help_goes()

    def help_comes(self):
        help = self.line.help
        yield self.env.timeout(help.comes_after)
        self.help_is, self.help_came = "there", self.env.now
        self.free_operators.add(len(self.line.crew))
        self.look_around()
        yield self.env.timeout(help.stays_at_least)
        # Whose time is up after closing stays with the others to the end.
        if self.env.now < CLOSING:
            self.help_is = "free to go"
            self.look_around()

    def help_goes(self):
        self.free_operators.discard(len(self.line.crew))
        self.help_is, self.help_left = "gone", self.env.now

    def work(self, seconds):
        """An operator's working time."""
        seconds = on_tick(seconds)
        self.busy += seconds
        return self.env.timeout(seconds)

    # Scraper

    def can_scrape(self):
        return self.free_scraping_places and (self.sent_back or self.drop_off)

    def scrape(self):
        self.free_scraping_places -= 1
        batch = take(self.sent_back, SCRAPE_BATCH)
        fresh = take(self.drop_off, SCRAPE_BATCH - len(batch))
        self.empty_tubs(len(fresh))
        batch += fresh
        yield self.work((4 + 2.0 * len(batch)) * self.line.scrape_factor(self.random))
        self.free_scraping_places += 1
        self.scraped.extend((plate, self.env.now) for plate in batch)
        self.look_around_in(PATIENCE)

    # Loader

    def can_load(self):
        if not (self.free_stations and self.empty_racks and self.scraped):
            return False
        _plate, since = self.scraped[0]
        return (
            len(self.scraped) >= RACK
            or self.env.now - since >= PATIENCE
            or self.nothing_left_before_racking()
        )

    def nothing_left_before_racking(self):
        # Plates further on may yet be sent back, but nobody waits for those.
        someone_scrapes = self.free_scraping_places < self.line.places
        at_drop_off = self.drop_off or self.sent_back
        on_the_way = self.lots_to_come or self.on_tables or self.tubs_on_way
        return not (on_the_way or at_drop_off or someone_scrapes)

    def load(self):
        self.free_stations -= 1
        self.empty_racks -= 1
        rack = [plate for plate, _since in take(self.scraped, RACK)]
        yield self.work((6 + 1.8 * len(rack)) * self.line.load_factor(self.random))
        self.filled.append(rack)
        waiting = len(self.filled) + len(self.lane)
        self.racks_waiting_max = max(self.racks_waiting_max, waiting)
        self.move_up()

    # Belt

    def move_up(self):
        """Filled racks move into the lane; only then are their stations free."""
        while self.filled and len(self.lane) < LANE:
            self.lane.append(self.filled.popleft())
            self.free_stations += 1
            self.look_around()
            signal(self.rack_in_lane)

    def belt_clock(self):
        """Seconds the belt has moved since opening."""
        seen = self.env.now if self.stopped_since is None else self.stopped_since
        return seen - self.belt_stood

    def machine_entry(self):
        while True:
            if not self.lane:
                self.rack_in_lane = self.env.event()
                yield self.rack_in_lane
            yield Moment(self.env, max(0, self.next_entry - self.belt_clock()), BELT_IN)
            # The belt may have stood, or may stand, since this moment was worked out.
            if self.stopped_since is not None:
                yield self.belt_goes_on
            elif self.belt_clock() >= self.next_entry:
                self.enter_machine(self.lane.popleft())
                self.move_up()

    def enter_machine(self, rack):
        self.next_entry = self.belt_clock() + PITCH
        self.in_machine.append((self.belt_clock(), rack))
        signal(self.rack_in_machine)
        waits = [self.env.now - plate for plate in rack if plate is not WASHED_BEFORE]
        self.waits += waits
        self.soiled_waiting -= len(waits)
        self.racks_entered += 1
        self.look_around()

    def machine_exit(self):
        while True:
            if not self.in_machine:
                self.rack_in_machine = self.env.event()
                yield self.rack_in_machine
            entered, rack = self.in_machine[0]
            yield Moment(self.env, entered + TRANSIT - self.belt_clock(), BELT_OUT)
            if not self.free_landing_places:
                yield from self.belt_stands()
            self.in_machine.popleft()
            self.free_landing_places -= 1
            self.landed.append((self.env.now, rack))
            self.last_rack_out = self.env.now
            self.look_around_in(self.line.drain)
            if self.line.dollies:
                self.look_around()

    def belt_stands(self):
        """Nothing moves until the unloader makes a place on the landing."""
        self.stopped_since = self.env.now
        self.belt_goes_on = self.env.event()
        yield self.belt_goes_on
        self.belt_stood += self.env.now - self.stopped_since
        self.stopped_since = None

    # Unloader

    def can_unload(self):
        is_something = self.must_park() or self.drained(self.landed) or self.drained(self.parked)
        return self.free_unloading_places and is_something

    def drained(self, racks):
        # All drain for the same time, so the first is ready first.
        return racks and self.env.now - racks[0][0] >= self.line.drain

    def must_park(self):
        """The landing is full, another rack is to come, and there is a place to put one."""
        is_full = not self.free_landing_places and self.landed
        return is_full and self.in_machine and self.free_dollies

    def unload(self):
        self.free_unloading_places -= 1
        if self.must_park():
            yield from self.park()
        else:
            yield from self.empty(self.landed if self.drained(self.landed) else self.parked)
        self.free_unloading_places += 1

    def place_on_landing(self):
        self.free_landing_places += 1
        signal(self.belt_goes_on)

    def park(self):
        rack = self.landed.popleft()
        self.free_dollies -= 1
        yield self.work(MOVE * lognormal(0.4)(self.random))
        self.parked.append(rack)
        self.place_on_landing()

    def empty(self, racks):
        _since, rack = racks.popleft()
        yield self.work((5 + 2.4 * len(rack)) * self.line.unload_factor(self.random))
        if racks is self.parked:
            self.free_dollies += 1
        else:
            self.place_on_landing()
        self.empty_racks += 1
        self.inspect(rack)
        self.last_unloading_end = self.env.now

    def inspect(self, rack):
        self.inspected += len(rack)
        for _plate in rack:
            dirty = self.random.random() < self.line.dirty
            if dirty and self.random.random() < self.line.caught:
                self.sent_back.append(WASHED_BEFORE)
            else:
                self.plates_out += 1
                self.soiled_out += dirty

    # Measures

    def measures(self) -> dict[str, float]:
        # Unloading is the last work there is, so its end is the end of all work.
        end = max(CLOSING, self.last_unloading_end)
        waits = sorted(self.waits)
        pieces = len(waits)
        total_wait = math.fsum(waits)
        present = len(self.line.crew) * end
        if self.help_came is not None:
            # Nobody goes before there is nothing left to do, and so not after it.
            left = end if self.help_left is None else self.help_left
            present += max(left, self.help_came) - self.help_came
        result = {
            "pieces": pieces,
            "racks": self.racks_entered,
            "wait_mean_min": total_wait / pieces / 60,
            "wait_p95_min": waits[-(-95 * pieces // 100) - 1] / 60,  # rounded up
            # Each plate is one of those waiting for as long as it waits.
            "soiled_waiting_mean": total_wait / end,
            "soiled_waiting_max": self.soiled_waiting_max,
            "racks_waiting_max": self.racks_waiting_max,
            "machine_stopped_min": self.belt_stood / 60,
            "last_rack_min_after_close": (self.last_rack_out - CLOSING) / 60,
            "crew_out_min_after_close": (end - CLOSING) / 60,
            "crew_busy_share": self.busy / present,
            "labour_h": present / 3600,
        }
        if self.line.dirty:
            sent_back = self.inspected - self.plates_out
            result["rewashed_share"] = sent_back / self.inspected
            result["sent_out_soiled_share"] = self.soiled_out / self.plates_out
        return result


def replicate(name: str, seed: str, replication: int) -> dict[str, float]:
    """One evening, the same whichever process plays it."""
    return Evening(LINES[name], Random(f"{seed}/{name}/{replication}")).play()


def summary(values: list[float]) -> dict[str, float]:
    n = len(values)
    mean = math.fsum(values) / n
    variance = math.fsum((value - mean) ** 2 for value in values) / (n - 1)
    return {"n": n, "mean": mean, "sd": math.sqrt(variance)}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("names", nargs="+", choices=LINES, metavar="NAME")
    parser.add_argument("--replications", type=int, default=100)
    parser.add_argument("--seed", default="1")
    parser.add_argument("--processes", type=int, default=1)
    given = parser.parse_args()
    if given.replications < 2:
        parser.error("a standard deviation needs at least two replications")

    report = {}
    chunk = math.ceil(given.replications / (4 * given.processes))
    with Pool(given.processes) as pool:
        for name in given.names:
            evening = partial(replicate, name, given.seed)
            evenings = pool.map(evening, range(given.replications), chunk)
            report[name] = {
                measure: summary([one[measure] for one in evenings])
                for measure in evenings[0]
            }
    print(json.dumps(report, indent=2))


if __name__ == "__main__":
    main()
