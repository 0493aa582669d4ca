namespace Core.Tests.Sheets;

/// <summary>A sheet small enough to read in one go, holding one of everything.</summary>
internal static class SmallSheet
{
    public const string Text = """
        bellwire: 1
        id: small
        title: Small
        era: transistor
        feed: transformer
        odds: estimated
        repeat: {room: 2}
        has: [tuner]
        causes:
          age: {name: Age, prior: 0.3}
        conditions:
          volume: [quiet, loud]
        selectors:
          source: {name: Source, throws: [fm, aux]}
        instruments:
          meter: {right: 0.99}
          ear: {right: 0.9}
        pieces:
          supply:
            name: Supply
            sites:
              reservoir:
                name: Reservoir
                faults:
                  dry: {weight: 10, mend: 25, part: capacitor, cost: 4, by: {age: x3}}
              regulator:
                name: Regulator
                faults:
                  shorted: {weight: 2}
                  open: {weight: 3, by: {age: 0.02}}
          amp:
            name: Amplifier
            sites:
              chip: {name: Chip, faults: {dead: {weight: 5}}}
          tuner:
            only: tuner
            name: Tuner
            sites:
              set: {name: Tuner, faults: {deaf: {weight: 4}}}
          cassette:
            only: cassette
            name: Cassette
            sites:
              belt: {name: Belt, faults: {soft: {weight: 9}}}
          station:
            name: Station
            sites:
              speaker: {name: Speaker, faults: {open: {weight: 3}}}
        positions:
          supply: {name: Supply, piece: supply, at: [0, 0], feeds: [amp, tuner], worth: 50}
          amp: {name: Amplifier, piece: amp, at: [1, 0], feeds: [station-<room>], contact: {weight: 1, redraw: 0.5}}
          tuner: {only: tuner, name: Tuner, piece: tuner, at: [1, 1]}
          cassette: {only: cassette, name: Cassette, piece: cassette, at: [1, 2]}
          station-<room>:
            name: Station <room>
            piece: station
            at: [3, <room>+1]
            sites:
              wire: {name: Run <room>, faults: {open: {weight: 2}}}
        signals:
          rail:
            name: Rail
            states: [good, dead, high]
            through: [supply]
            rules:
              - dead when feed off
              - high when regulator shorted
              - dead when regulator open
          sound:
            name: Sound
            states: [good, dead, hum]
            through: [amp]
            rules:
              - as upstream rail: dead
              - dead when amp.chip dead
              - hum when reservoir dry (8 in 10)
          fm:
            name: FM
            states: [good, dead]
            through: [tuner]
            rules:
              - as sound: dead, hum becomes dead
              - dead when tuner.set deaf and source at fm
              - dead when cassette.belt soft
          room-<room>:
            name: Room <room>
            states: [good, dead, hum]
            through: [station-<room>]
            rules:
              - as sound: dead, hum
              - dead when station-<room>.wire open or station-<room>.speaker open
          house:
            name: The house
            states: [good, dead]
            rules:
              - dead when every station-<room>.wire open
        hazards:
          - rail high kills amp.chip dead (9 in 10) each time
        bundles:
          meter: {words: With the meter, minutes: 3}
        points:
          rail: {words: Rail to common, quantity: volt-dc, nominal: 12, low: 11.4, high: 12.6, ladder: 1}
        checks:
          rail-volts:
            words: Rail volts
            of: rail
            how: measure
            powered: true
            minutes: 1
            bundle: meter
            with: meter
            point: rail
            bands: {good: [11, 13], dead: [0, 11], high: [13, 40]}
          hum:
            words: Hum in the speaker
            of: sound
            how: listen
            minutes: 2
            in: {volume: quiet}
            throws: {source: aux}
            outcomes: {quiet: [good, dead], hums: [hum]}
            matrix:
              quiet: {good: 0.95, dead: 1, hum: 0.1}
              hums: {good: 0.05, hum: 0.9}
            owner: Does it hum?
        functions:
          fm: {words: FM plays, signal: fm, needs: [tuner, amp], instrument: ear}
          aux: {words: Aux plays, needs: [amp, rail]}
        hardware:
          screw: {name: Cover screw, count: 6}
        proof:
          rail: {words: Rail, point: rail, low: 11.4, high: 12.6, unit: V, minutes: 1}
          fm: {words: FM on two stations, check: fn-fm, minutes: 3}
        terminals:
          t1: {words: Terminal 1, carries: speech, may-connect: own station only}
        gates:
          rails: {words: Rails measured, before: fit, point: rail, below: 13, above: 11, pieces: [amp]}
        cautions:
          - Wait a minute after switching off.
        """;
}
