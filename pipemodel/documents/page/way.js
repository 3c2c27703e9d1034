// The way in of a bent piece: where it is at any share of it, and which motion that belongs to. Between two states
// the position goes straight and the turn is even about one axis, the shorter way round.
"use strict";

const MOVE_MS = 2200;

class WayIn {
  // `way` is what the page's data holds of it: states [x, y, z, w, i, j, k], motions [first state, last state], opening.
  constructor(way) {
    this.states = way.states;
    this.motions = way.motions;
    this.opening = way.opening;
    this.sprung = way.sprung;
  }

  // Every motion has the same part of the slider, however far it goes.
  motionAt(share) { return Math.min(Math.floor(share * this.motions.length + 1e-9), this.motions.length - 1); }

  // Which state it is in, with the share of the way to the next one.
  stateAt(share) {
    const k = this.motionAt(share), [first, last] = this.motions[k];
    return first + (share * this.motions.length - k) * (last - first);
  }

  poseAt(share) {
    const at = this.stateAt(share), i = Math.min(Math.floor(at), this.states.length - 2);
    return this.between(this.states[i], this.states[i + 1], at - i);
  }

  // Whether it is held sprung; let go at the end of a motion, it is as it was bent from there on.
  isSprung(share) { return !!this.sprung && this.stateAt(share) < this.sprung.until - 1e-6; }

  between(a, b, t) {
    const p = a.slice(3), dot = p.reduce((sum, x, i) => sum + x * b[3 + i], 0), q = b.slice(3).map((x) => dot < 0 ? -x : x);
    const angle = Math.acos(Math.min(Math.abs(dot), 1)), s = Math.sin(angle);
    const [m, k] = s < 1e-9 ? [1 - t, t] : [Math.sin((1 - t) * angle) / s, Math.sin(t * angle) / s];
    return { at: V.mix(a.slice(0, 3), b.slice(0, 3), t), turn: p.map((x, i) => m * x + k * q[i]) };
  }

  // Rings of the piece where it is then: as it was bent, given its rings in its place, and as it is held, sprung or not.
  ringsAt(share, rings) {
    const pose = this.poseAt(share), bent = WayIn.moved(rings, pose), sprung = this.isSprung(share);
    return { bent, held: sprung ? WayIn.moved(ringsThrough(this.sprung.axis), pose) : bent, said: sprung ? this.sprung.ends : {} };
  }

  // Rings of the piece in its place, as they stand in a pose.
  static moved(rings, { at, turn }) {
    const [w, ...axis] = turn, turned = (v) => {
      const u = V.scale(V.cross(axis, v), 2);
      return V.add(V.add(v, V.scale(u, w)), V.cross(axis, u));
    };
    return rings.map((r) => ({ ...r, at: V.add(turned(r.at), at), ahead: turned(r.ahead), side: turned(r.side) }));
  }

  // The piece at the beginning and after every motion, for a picture that holds all of it.
  everywhere(rings) {
    const n = this.motions.length;
    return [...Array(n + 1).keys()].map((k) => WayIn.moved(rings, this.poseAt(k / n)));
  }
}
