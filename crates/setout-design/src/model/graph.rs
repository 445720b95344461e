//! The one graph: what depends on what.
//!
//! A change, a check, a sweep, a comparison and an export all read it. Nothing in it recurses: a
//! chain of a hundred thousand dimensions costs no more stack than a chain of two.

use std::collections::{HashMap, VecDeque};

use petgraph::Direction;
use petgraph::algo::kosaraju_scc;
use petgraph::graph::{DiGraph, NodeIndex};

/// Dependencies between numbered things. An edge runs from what is needed to what needs it.
///
/// ```
/// use setout_design::graph::Graph;
/// //   0 ──▶ 1 ──▶ 3
/// //   └───▶ 2 ────┘▶
/// let graph = Graph::new(4, [(0, 1), (0, 2), (1, 3), (2, 3)]);
/// assert_eq!(graph.reach([0]), [1, 2, 3]);
/// assert_eq!(graph.needs([3]), [0, 1, 2]);
/// assert!(graph.cycles().is_empty());
/// ```
#[derive(Clone, Debug)]
pub struct Graph {
    dependents: Lists,
    dependencies: Lists,
    /// All nodes, so that each stands behind what it needs (cycles apart).
    order: Box<[u32]>,
    /// The place of every node in `order`.
    rank: Box<[u32]>,
    /// The strongly connected components that are cycles, each sorted.
    cycles: Vec<Vec<u32>>,
}

/// A list of nodes for every node, one behind the other in one piece of memory.
#[derive(Clone, Debug)]
struct Lists {
    /// Where each list begins, and the end of the last one.
    starts: Box<[u32]>,
    items: Box<[u32]>,
}

impl Lists {
    /// Of `count` nodes, from pairs of the node whose list it is and the item. Items stand in the
    /// order of the pairs.
    fn new(count: usize, pairs: impl Iterator<Item = (u32, u32)> + Clone) -> Self {
        let mut starts = vec![0_u32; count + 1];
        let mut length = 0;
        for (node, _) in pairs.clone() {
            starts[node as usize + 1] += 1;
            length += 1;
        }
        for node in 0..count {
            starts[node + 1] += starts[node];
        }
        let mut items = vec![0; length];
        let mut next = starts.clone();
        for (node, item) in pairs {
            let at = &mut next[node as usize];
            items[*at as usize] = item;
            *at += 1;
        }
        Self { starts: starts.into(), items: items.into() }
    }

    /// For every node those that have it in their list, each once and in the order given.
    fn turned(&self, order: &[u32]) -> Self {
        let pairs = order.iter().flat_map(|node| self.of(*node).iter().map(|item| (*item, *node)));
        let turned = Self::new(order.len(), pairs);
        // What stood twice in a list stands side by side now.
        let twice = (0..order.len() as u32)
            .any(|node| turned.of(node).windows(2).any(|two| two[0] == two[1]));
        if !twice {
            return turned;
        }
        let once = (0..order.len() as u32).flat_map(|node| {
            let items = turned.of(node);
            let is_first = |(at, item): &(usize, &u32)| *at == 0 || items[at - 1] != **item;
            items.iter().enumerate().filter(is_first).map(move |(_, item)| (node, *item))
        });
        Self::new(order.len(), once.collect::<Vec<_>>().into_iter())
    }

    fn of(&self, node: u32) -> &[u32] {
        let node = node as usize;
        &self.items[self.starts[node] as usize..self.starts[node + 1] as usize]
    }
}

impl Graph {
    /// A graph of `count` nodes, numbered from 0.
    ///
    /// # Panics
    /// When an edge names a node that is not below `count`.
    pub fn new(count: usize, edges: impl IntoIterator<Item = (u32, u32)>) -> Self {
        let edges: Vec<(u32, u32)> = edges.into_iter().collect();
        let drawn = Lists::new(count, edges.iter().copied());
        let (levels, cycles) = match levels(&drawn) {
            Some(levels) => (levels, Vec::new()),
            None => levels_of_circles(count, &edges),
        };
        let order = by_level(&levels);
        let mut rank = vec![0; count];
        for (place, node) in order.iter().enumerate() {
            rank[*node as usize] = place as u32;
        }
        // Turned twice, and in order each time, the lists come to stand in order.
        let dependencies = drawn.turned(&order);
        let dependents = dependencies.turned(&order);
        Self { dependents, dependencies, order, rank: rank.into(), cycles }
    }

    /// How many nodes there are.
    pub fn len(&self) -> usize {
        self.order.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.order.is_empty()
    }

    /// All nodes in order of dependency: first by the longest way from something that needs
    /// nothing, then by number.
    pub fn order(&self) -> &[u32] {
        &self.order
    }

    /// The place of a node in [`order`](Self::order).
    pub fn rank(&self, node: u32) -> u32 {
        self.rank[node as usize]
    }

    /// The sets of nodes that depend on each other in circles.
    pub fn cycles(&self) -> &[Vec<u32>] {
        &self.cycles
    }

    /// All that depends on any of the nodes, in order of dependency, without the nodes themselves
    /// unless they depend on one another.
    pub fn reach(&self, from: impl IntoIterator<Item = u32>) -> Vec<u32> {
        self.all_behind(from, &self.dependents)
    }

    /// All that any of the nodes needs, in order of dependency.
    pub fn needs(&self, of: impl IntoIterator<Item = u32>) -> Vec<u32> {
        self.all_behind(of, &self.dependencies)
    }

    /// What needs a node directly, in order of dependency.
    pub fn dependents(&self, node: u32) -> &[u32] {
        self.dependents.of(node)
    }

    /// What a node needs directly, in order of dependency.
    pub fn dependencies(&self, node: u32) -> &[u32] {
        self.dependencies.of(node)
    }

    /// All that the lists lead to from some nodes, in order of dependency.
    fn all_behind(&self, from: impl IntoIterator<Item = u32>, lists: &Lists) -> Vec<u32> {
        let mut found = Vec::new();
        let mut seen: Vec<u64> = Vec::new();
        let mut add = |node: u32, found: &mut Vec<u32>| {
            let items = lists.of(node);
            if items.is_empty() {
                return;
            }
            // Most questions are about nodes that lead nowhere, and need no memory.
            seen.resize(self.len().div_ceil(64), 0);
            found.extend(items.iter().copied().filter(|item| {
                let (word, bit) = (&mut seen[*item as usize / 64], 1 << (item % 64));
                let is_new = *word & bit == 0;
                *word |= bit;
                is_new
            }));
        };
        from.into_iter().for_each(|node| add(node, &mut found));
        let mut at = 0;
        while at < found.len() {
            add(found[at], &mut found);
            at += 1;
        }
        found.sort_unstable_by_key(|node| self.rank(*node));
        found
    }

    /// Shortest ways from some nodes to all that depends on them, through nodes for which
    /// `through` holds. Found in one sweep, so that asking for every way costs no more than one.
    pub fn ways(&self, from: &[u32], through: impl Fn(u32) -> bool) -> Ways {
        let mut ways = Ways { before: HashMap::new() };
        let mut queue: VecDeque<u32> = from.iter().copied().collect();
        ways.before.extend(
            from.iter().map(|node| (*node, Step { before: *node, start: *node, length: 0 })),
        );
        while let Some(node) = queue.pop_front() {
            let Step { start, length, .. } = ways.before[&node];
            for next in self.dependents(node).iter().copied() {
                if through(next) && !ways.before.contains_key(&next) {
                    ways.before.insert(next, Step { before: node, start, length: length + 1 });
                    queue.push_back(next);
                }
            }
        }
        ways
    }

    /// A shortest circle within a set of nodes that depend on each other, beginning with the node
    /// of the lowest number; the first is not repeated at the end.
    pub fn shortest_cycle(&self, cycle: &[u32]) -> Vec<u32> {
        let inside = |node: u32| cycle.binary_search(&node).is_ok();
        let mut best: Vec<u32> = Vec::new();
        // In a large tangle any circle teaches as much as the shortest one.
        let starts = (LARGEST_SEARCH / cycle.len().max(1)).max(1);
        for start in cycle.iter().take(starts) {
            if let Some(found) = self.circle_through(*start, inside)
                && (best.is_empty() || found.len() < best.len())
            {
                best = found;
            }
            if best.len() == 1 {
                break;
            }
        }
        let lowest = best.iter().enumerate().min_by_key(|(_, node)| **node).map_or(0, |(i, _)| i);
        best.rotate_left(lowest);
        best
    }

    fn circle_through(&self, start: u32, inside: impl Fn(u32) -> bool) -> Option<Vec<u32>> {
        let mut before = HashMap::new();
        let mut queue = VecDeque::from([start]);
        while let Some(node) = queue.pop_front() {
            for next in self.dependents(node).iter().copied() {
                if next == start {
                    let mut path = vec![node];
                    let mut at = node;
                    while at != start {
                        at = before[&at];
                        path.push(at);
                    }
                    path.reverse();
                    return Some(path);
                }
                if inside(next) && !before.contains_key(&next) {
                    before.insert(next, node);
                    queue.push_back(next);
                }
            }
        }
        None
    }
}

/// Shortest ways from some nodes to what depends on them.
#[derive(Clone, Debug)]
pub struct Ways {
    before: HashMap<u32, Step>,
}

#[derive(Clone, Copy, Debug)]
struct Step {
    before: u32,
    start: u32,
    length: u32,
}

impl Ways {
    /// The way to a node, both ends included, empty where there is none. Of a way through more
    /// than `most` nodes only the start and the last ones are given, with `None` between them:
    /// the ways to all of a long chain would else hold as many names as its length squared.
    pub fn to(&self, node: u32, most: usize) -> Vec<Option<u32>> {
        let Some(step) = self.before.get(&node) else { return Vec::new() };
        let whole = step.length as usize + 1;
        let kept = if whole > most { most.saturating_sub(2).max(1) } else { whole };
        let mut way = Vec::with_capacity(kept + 2);
        let mut at = node;
        for _ in 0..kept {
            way.push(Some(at));
            at = self.before[&at].before;
        }
        if kept < whole {
            way.extend([None, Some(step.start)]);
        }
        way.reverse();
        way
    }
}

/// How many nodes the searches for a shortest circle may start from, times the tangle's size.
const LARGEST_SEARCH: usize = 1_000_000;

/// For every node how long the longest way is that leads to it; `None` when there are circles.
fn levels(dependents: &Lists) -> Option<Vec<u32>> {
    let count = dependents.starts.len() - 1;
    let mut missing = vec![0_u32; count];
    dependents.items.iter().for_each(|to| missing[*to as usize] += 1);
    let mut ready: Vec<u32> =
        (0..count as u32).filter(|node| missing[*node as usize] == 0).collect();
    let mut levels = vec![0; count];
    let mut at = 0;
    while at < ready.len() {
        let level = levels[ready[at] as usize] + 1;
        for next in dependents.of(ready[at]) {
            let next = *next as usize;
            levels[next] = level.max(levels[next]);
            missing[next] -= 1;
            if missing[next] == 0 {
                ready.push(next as u32);
            }
        }
        at += 1;
    }
    (ready.len() == count).then_some(levels)
}

/// The same where there are circles: all of one stand on one level.
fn levels_of_circles(count: usize, edges: &[(u32, u32)]) -> (Vec<u32>, Vec<Vec<u32>>) {
    let mut graph: DiGraph<(), (), u32> = DiGraph::with_capacity(count, edges.len());
    for _ in 0..count {
        graph.add_node(());
    }
    for (from, to) in edges {
        graph.add_edge(NodeIndex::new(*from as usize), NodeIndex::new(*to as usize), ());
    }
    // Components come with those that need nothing outside last, so backwards is in order.
    let mut components: Vec<Vec<u32>> = kosaraju_scc(&graph)
        .into_iter()
        .map(|component| component.into_iter().map(|node| node.index() as u32).collect())
        .collect();
    components.reverse();
    let levels = levels_of_components(&graph, &components);
    let mut cycles: Vec<Vec<u32>> =
        components.into_iter().filter(|component| is_cycle(&graph, component)).collect();
    cycles.iter_mut().for_each(|cycle| cycle.sort_unstable());
    cycles.sort_unstable();
    (levels, cycles)
}

fn is_cycle(graph: &DiGraph<(), (), u32>, component: &[u32]) -> bool {
    let [only] = component else { return true };
    let only = NodeIndex::new(*only as usize);
    graph.find_edge(only, only).is_some()
}

fn levels_of_components(graph: &DiGraph<(), (), u32>, components: &[Vec<u32>]) -> Vec<u32> {
    let mut level = vec![0_u32; graph.node_count()];
    let mut home = vec![0_usize; graph.node_count()];
    for (index, component) in components.iter().enumerate() {
        component.iter().for_each(|node| home[*node as usize] = index);
    }
    for (index, component) in components.iter().enumerate() {
        let before = component.iter().flat_map(|node| {
            graph.neighbors_directed(NodeIndex::new(*node as usize), Direction::Incoming)
        });
        let outside = before.filter(|node| home[node.index()] != index);
        let height = outside.map(|node| level[node.index()] + 1).max().unwrap_or(0);
        component.iter().for_each(|node| level[*node as usize] = height);
    }
    level
}

/// All nodes by their level, then by number.
fn by_level(levels: &[u32]) -> Box<[u32]> {
    let mut order: Vec<u32> = (0..levels.len() as u32).collect();
    order.sort_by_key(|node| levels[*node as usize]);
    order.into()
}
